"""What the manual says of the program by asking it: fields, studies, known causes, words."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from linesim.manual.fields import fields_part, laws_part, state_part
from linesim.manual.markdown import plain, table, within
from linesim.questions import STUDIES, Option, RunSettings, StudyOptions
from linesim.report.as_text import cause_table
from linesim.report.glossary import GLOSSARY
from linesim.report.plain import CAUTIONS, unit_words


def _studies(_: str) -> str:
    rows = ((f"`{each.name}`", plain(each.question)) for each in STUDIES.values())
    return table(("command", "answers"), rows)


def _study(name: str) -> str:
    """Its heading, what is asked and found, and what can be set."""
    study = STUDIES[name]
    asked = f"**{plain(study.question)}** {plain(study.description)}"
    parts = [f"## {plain(study.title)}", asked, f"Command: `linesim {name}`.", *_set(study.options)]
    if study.no_long_run:
        parts.append(f"Not asked of the long run: {plain(study.no_long_run)}.")
    return "\n\n".join(parts)


def _settings(_: str) -> str:
    return "\n\n".join(_set(RunSettings))


def _set(options: type[StudyOptions]) -> Iterator[str]:
    """A list of what can be set, each with its flag."""
    said = [_option(each) for each in options.declared().values()]
    if said:
        yield "\n".join(said)


def _option(option: Option) -> str:
    typed = option.metavar if option.argument else option.flag
    if option.kind is bool:
        typed = f"--no-{option.flag.removeprefix('--')}" if option.default else option.flag
    limits = within(unit_words(option.unit), option.least, option.most, above=option.above_least)
    more = [limits, f"standard: {_standard(option)}" if _standard(option) else ""]
    words = option.help + (f" ({'; '.join(filter(None, more))})" if any(more) else "")
    return f"- **{plain(option.title)}** (`{typed}`): {plain(words)}"


def _standard(option: Option) -> str:
    """What is meant where nothing is given."""
    if option.required or option.default in (None, "", ()):
        return option.empty
    if isinstance(option.default, bool):
        return "on" if option.default else "off"
    return f"{option.default:g}" if isinstance(option.default, float) else str(option.default)


def _causes(_: str) -> str:
    heads, rows = cause_table()
    return table(heads, ([plain(cell) for cell in row] for row in rows))


def _cautions(_: str) -> str:
    return "\n".join(f"- {plain(each)}" for each in CAUTIONS)


def _glossary(_: str) -> str:
    return "\n\n".join(_entries())


def _entries() -> Iterator[str]:
    for entry in GLOSSARY:
        unit = f" ({unit_words(entry.unit)})" if entry.unit else ""
        also = f" Also: {', '.join(entry.also)}." if entry.also else ""
        yield f"**{plain(entry.term)}**{plain(unit)}. {plain(entry.meaning + also)}" + (
            f" *{plain(entry.source)}*" if entry.standard else ""
        )


MADE: dict[str, Callable[[str], str]] = {
    "fields": fields_part,
    "laws": laws_part,
    "state": state_part,
    "causes": _causes,
    "cautions": _cautions,
    "studies": _studies,
    "study": _study,
    "settings": _settings,
    "glossary": _glossary,
}
"""What may stand in ``> Made when it is read: NAME.``; a study is named behind it."""
