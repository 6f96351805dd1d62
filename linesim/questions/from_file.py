"""The answer of a study file from its runs alone. Nothing in the file is trusted unchecked."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pydantic import TypeAdapter, ValidationError

from linesim.questions.asking import answer_with
from linesim.questions.question import Question
from linesim.questions.run_settings import MOST_RUNS
from linesim.questions.study_files import digest_of
from linesim.scenario import Scenario, ScenarioFaults, check_text
from linesim.studies.run_spec import program_digest
from linesim.studies.runner import Runner, Settings, StoppedError
from linesim.studies.study_file import StudyFile, StudyFileError

if TYPE_CHECKING:
    from linesim.report.answers import Answer

_LONGEST_NAME = 1000


def answer_from_file(path: Path) -> tuple[Scenario, Answer]:
    """What a study file answers, and the scenario it is about, without making a run.

    An unfinished study answers from the runs that are complete. Raises ``StudyFileError`` for a
    file that holds no question, was made by another version, or has too few runs to say anything.
    """
    with StudyFile(path, scenario=None, name="", program=program_digest()) as file:
        question, long_run = _question(path, file)
        settings = _settings(path, file)
        scenarios = _scenarios(path, file)
        if digest_of(scenarios) != file.noted("scenario"):
            raise StudyFileError(f"{path}: damaged: its runs are of another scenario than it says")
        # Stopped before it begins: runs that are not in the file are not made.
        with Runner(settings, file=file, stop=lambda: True) as runner:
            try:
                answer = answer_with(runner, question, scenarios, None, long_run)
            except StoppedError:
                raise StudyFileError(
                    f"{path}: holds too few runs of every variant: nothing can be said yet"
                ) from None
            except StudyFileError:
                raise
            except ValueError as error:
                raise StudyFileError(f"{path}: cannot be answered: {error}") from None
            except (LookupError, ArithmeticError):
                # Each run is one by itself, but of another line or length than the question's.
                raise StudyFileError(f"{path}: damaged: its runs do not fit the question") from None
    return next(iter(scenarios.values())), answer


def _read(path: Path, file: StudyFile, name: str) -> Any:
    text = file.noted(name)
    if text is None:
        raise StudyFileError(
            f"{path}: does not say what was asked of its runs; ask once more with it as the study"
            " file"
        )
    try:
        return json.loads(text)
    except (ValueError, RecursionError):
        raise StudyFileError(f"{path}: damaged: {name} cannot be read") from None


def _question(path: Path, file: StudyFile) -> tuple[Question, bool]:
    match _read(path, file, "question"):
        case {"study": str(study), "options": dict(options), "long_run": bool(long_run)}:
            try:
                return Question(study, options), long_run
            except ValueError:
                pass
    raise StudyFileError(f"{path}: damaged: the question in it is none of linesim's")


def _settings(path: Path, file: StudyFile) -> Settings:
    reader = TypeAdapter(Settings)
    damaged = StudyFileError(f"{path}: damaged: its settings cannot be read")
    try:
        settings = reader.validate_python(_read(path, file, "settings"))
    except ValidationError:
        raise damaged from None
    if max(settings.replications, settings.most) > MOST_RUNS:
        raise damaged
    return settings


def _scenarios(path: Path, file: StudyFile) -> dict[str, Scenario]:
    found: dict[str, Scenario] = {}
    texts = _read(path, file, "scenario_texts")
    for pair in texts if isinstance(texts, list) else [None]:
        match pair:
            case [str(name), str(text)] if len(name) <= _LONGEST_NAME:
                try:
                    found[name] = check_text(text, file=f"{path.name}: {name or 'scenario'}")
                except ScenarioFaults as error:
                    raise StudyFileError(f"{path}: damaged: {error}") from None
            case _:
                raise StudyFileError(f"{path}: damaged: its scenarios cannot be read")
    if not found:
        raise StudyFileError(f"{path}: damaged: it names no scenario")
    return found
