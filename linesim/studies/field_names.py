"""Fields of a scenario by the names people call them: entries of a list by theirs."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from linesim.scenario.faults import Path
from linesim.scenario.field_descriptions import descriptions
from linesim.scenario.spelling import nearest
from linesim.scenario.writing import split_name


class FieldError(ValueError):
    """A field or its values that cannot be varied, and why."""


def paths_of(data: Mapping[str, Any], name: str) -> tuple[Path, ...]:
    """Where a field stands in the tables of a scenario; more than one place for one cause.

    An entry of a list goes by its name or cause, or by its number from 0; where there is only one
    it needs neither. Raises :class:`FieldError`.

    >>> jam = {"cause": "wrapper jam", "restore_min": 2}
    >>> paths_of({"stop": [jam, {"cause": "dust"}]}, "stop.wrapper jam.restore_min")
    (('stop', 0, 'restore_min'),)
    >>> paths_of({"wrapper": [{"name": "A"}]}, "wrapper.rate_reams_per_min")
    (('wrapper', 0, 'rate_reams_per_min'),)
    """
    head, dot, rest = name.partition(".")
    entries = data.get(head)
    if not dot or not isinstance(entries, list):
        path = _split(name)
        entries = data.get(str(path[0]))
        number = path[1] if len(path) > 1 else None
        if isinstance(entries, list) and isinstance(number, int) and number >= len(entries):
            raise FieldError(
                f"{name} leads nowhere: the scenario has {len(entries)} [[{path[0]}]], numbered"
                " from 0"
            )
        return (path,)
    names = [str(entry.get("cause") or entry.get("name") or "") for entry in entries]
    called = max(
        (each for each in names if each and rest.startswith(f"{each}.")), default="", key=len
    )
    if called:
        field = _split(rest[len(called) + 1 :])
        return tuple((head, n, *field) for n, each in enumerate(names) if each == called)
    if rest.partition(".")[0] in _entry_fields(head):
        if len(entries) == 1:
            return ((head, 0, *_split(rest)),)
        raise FieldError(f"{name}: {_which(head, names, rest)}")
    wanted = rest.rpartition(".")[0] or rest
    guess = nearest(wanted, [each for each in names if each])
    hint = f"did you mean {guess!r}?" if guess else f"there are {_listed(names)}"
    raise FieldError(f"{name}: the scenario has no {head} called {wanted!r}; {hint}")


def _entry_fields(head: str) -> list[str]:
    return [field.name for field in descriptions()[head].parts]


def _which(head: str, names: list[str], rest: str) -> str:
    if not names:
        return f"the scenario has no [[{head}]]"
    first = next((each for each in names if each), "")
    example = f"{head}.{first}.{rest}" if first else f"{head}[0].{rest}"
    return f"there are {len(names)} [[{head}]]: say which one, such as {example}"


def _listed(names: list[str]) -> str:
    return ", ".join(dict.fromkeys(each for each in names if each)) or "none with a name"


def _split(name: str) -> Path:
    try:
        return split_name(name)
    except KeyError as error:
        raise FieldError(str(error.args[0])) from None
