"""Which entry of a list in the file an entry in the form goes back to."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import SequenceMatcher
from typing import Any

_NAMES = ("cause", "station", "name")


def origins(now: Sequence[Any], then: Sequence[Any]) -> list[int | None]:
    """For each entry of *now* the place it had in *then*; None for a new one.

    Entries are known by their names, so that taking out the second does not make all that
    follow it look changed.

    >>> origins([{"name": "b"}, {"name": "c"}], [{"name": "a"}, {"name": "b"}])
    [1, None]
    """
    found: list[int | None] = [None] * len(now)
    matcher = SequenceMatcher(None, [_known_by(e) for e in then], [_known_by(e) for e in now])
    for kind, then_from, then_to, now_from, now_to in matcher.get_opcodes():
        if kind == "equal" or (kind == "replace" and then_to - then_from == now_to - now_from):
            found[now_from:now_to] = range(then_from, then_to)
    return found


def _known_by(entry: Any) -> str:
    if isinstance(entry, dict) and any(name in entry for name in _NAMES):
        return repr([entry.get(name) for name in _NAMES])
    return repr(entry)
