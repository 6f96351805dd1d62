"""Study files: where they are, and what was asked of their runs."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict
from pathlib import Path

from linesim.folders import studies_folder
from linesim.questions.question import Question
from linesim.scenario import Scenario, dump
from linesim.studies.run_spec import program_digest, scenario_digest
from linesim.studies.runner import Settings
from linesim.studies.study_file import StudyFile


def study_file_for(
    path: Path, scenarios: Mapping[str, Scenario], *, may_fail: bool = False
) -> StudyFile:
    """Open or make the study file of these scenarios.

    With ``may_fail`` a run that cannot be kept stops nobody: the file says so in ``failed``.
    Raises ``StudyFileError`` where it must not be used, ``OSError`` where it cannot be.
    """
    name = ", ".join(each.line.name for each in scenarios.values())
    return StudyFile(
        path,
        scenario=digest_of(scenarios),
        name=name,
        program=program_digest(),
        may_fail=may_fail,
    )


def cached_study(study: str, scenarios: Mapping[str, Scenario]) -> Path:
    """Where a study keeps its runs until it is complete, unless told otherwise; made if need be."""
    folder = studies_folder()
    folder.mkdir(parents=True, exist_ok=True)
    return folder / f"{study}-{digest_of(scenarios)[:16]}-{program_digest()[:8]}.sqlite"


def note_question(
    file: StudyFile,
    question: Question,
    scenarios: Mapping[str, Scenario],
    settings: Settings,
    long_run: bool,
) -> None:
    """Write down what is asked, so that the file can answer by itself. ``settings`` as given."""
    asked = {
        "study": question.study,
        "options": question.options.model_dump(mode="json"),
        "long_run": long_run,
    }
    texts = [[name, dump(scenario)] for name, scenario in scenarios.items()]
    file.note(
        {
            "question": json.dumps(asked, sort_keys=True),
            "settings": json.dumps(asdict(settings), sort_keys=True),
            "scenario_texts": json.dumps(texts),
        }
    )


def digest_of(scenarios: Mapping[str, Scenario]) -> str:
    """What tells these scenarios from all others, in hexadecimal digits."""
    digests = [scenario_digest(each) for each in scenarios.values()]
    if len(digests) == 1:
        return digests[0]
    return hashlib.sha256("\x1f".join(digests).encode()).hexdigest()
