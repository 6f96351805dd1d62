"""What is typed in a terminal for the same again: studies, and the report that tells of them.

Folders are left out: they are those of whoever types it.
"""

from __future__ import annotations

import shlex
from collections.abc import Iterator, Sequence
from pathlib import PurePath
from typing import Any

from linesim.questions.question import Question
from linesim.questions.run_settings import RunSettings
from linesim.questions.study_options import StudyOptions

_ALWAYS = {"replications", "hours", "seed"}


def study_typed(
    question: Question, scenarios: Sequence[str], settings: RunSettings, keep: str
) -> str:
    """The command that asks a study of these scenarios and keeps its runs in the file ``keep``.

    >>> asked = Question("vary", {"fields": ["crew.size=1,2"]})
    >>> study_typed(asked, ["a b.toml"], RunSettings(hours=24), "v.sqlite")
    "linesim vary 'a b.toml' crew.size=1,2 --replications 20 --hours 24 --seed 1 --keep v.sqlite"
    """
    parts = ["linesim", question.study, *scenarios, *_told(question.options, frozenset())]
    return shlex.join([*parts, *_told(settings, _ALWAYS), "--keep", keep])


def _told(options: StudyOptions, always: set[str] | frozenset[str]) -> Iterator[str]:
    """The flags that give these options; what is so by itself is left out, but for ``always``."""
    values = options.model_dump()
    for name, option in options.declared().items():
        value = values[name]
        if option.unless or value is None or (value == option.default and name not in always):
            continue
        if option.kind is tuple:
            yield from map(str, value)
        elif option.argument:
            yield str(value)
        elif option.kind is bool:
            yield option.flag if value else f"--no-{option.flag.removeprefix('--')}"
        else:
            for each in value.split(";") if option.several else [value]:
                yield from (option.flag, _text(each, file=option.file))


def _text(value: Any, *, file: bool = False) -> str:
    if file:
        return PurePath(value).name
    return f"{value:.10g}" if isinstance(value, float) else str(value).strip()


def report_typed(
    scenario: str,
    studies: Sequence[str],
    *,
    logs: Sequence[str] = (),
    production: Sequence[str] = (),
    words: dict[str, str | None] | None = None,
    hours: float | None = None,
    replications: int | None = None,
    seed: int = 1,
    appendix: bool = False,
    suffix: str = ".html",
) -> str:
    """The command that gives a report again: ``words`` are flags with a text, if they have one.

    Where ``hours`` or ``replications`` are None each study takes as many as are best for it.

    >>> report_typed("a line.toml", ["runs.sqlite"], words={"--date": None}, hours=8)
    "linesim report 'a line.toml' --study runs.sqlite --hours 8 --seed 1 -o report.html"
    """
    parts = ["linesim", "report", PurePath(scenario).name]
    for flag, files in (("--study", studies), ("--log", logs), ("--production", production)):
        for file in files:
            parts += [flag, PurePath(file).name]
    for flag, text in (words or {}).items():
        parts += [flag, text] if text else []
    parts += [] if hours is None else ["--hours", _text(float(hours))]
    parts += [] if replications is None else ["--replications", str(replications)]
    parts += ["--appendix"] if appendix else []
    return shlex.join([*parts, "--seed", str(seed), "-o", f"report{suffix.lower()}"])
