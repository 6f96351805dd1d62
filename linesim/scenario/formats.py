"""Files of older formats read as the newest; those of newer ones refused in words.

A format is a number that a file states. Whoever renames a field, or lets it mean something else,
adds the step from the format before: old files then stay what they are.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from linesim.scenario.faults import Fault, ScenarioFaults
from linesim.scenario.positions import line_of, positions

Step = Callable[[str], str]
"""The text of a file of one format as the next has it; every line keeps its number, so that what
is wrong is still found on the line of the file."""


@dataclass(frozen=True)
class Formats:
    """The formats of one kind of file, from 1 on."""

    kind: str
    """What a user calls such a file."""
    steps: tuple[Step, ...] = ()
    """From format 1 to 2, from 2 to 3 and so on."""

    @property
    def newest(self) -> int:
        """The format that this program writes."""
        return 1 + len(self.steps)

    def read(self, text: str, data: Mapping[str, Any], file: str) -> str:
        """The text as the newest format has it, line by line; unchanged where it is that.

        *data* are the values of the text; one that states no format is of the first. *file* is
        what the fault calls it. Raises :class:`ScenarioFaults` for a format newer than the newest.
        """
        stated = data.get("format", 1)
        if type(stated) is not int or stated < 1:
            # Whoever checks the fields says so.
            return text
        if stated > self.newest:
            line = line_of(("format",), positions(text))
            problem = f"a newer version of linesim wrote this {self.kind}"
            right = f"a newer linesim; this one reads formats up to {self.newest}"
            raise ScenarioFaults([Fault(file, line, "format", str(stated), problem, right)])
        for step in self.steps[stated - 1 :]:
            text = step(text)
        return _STATED.sub(rf"\g<1>{self.newest}", text, count=1) if stated < self.newest else text

    def rewritten(self, text: str, file: str) -> str:
        """As :meth:`read`, to be written: an old file that states no format gets a line for it."""
        found = self.read(text, tomllib.loads(text), file)
        if found != text and not _STATED.search(found):
            return f"format = {self.newest}\n{found}"
        return found


_STATED = re.compile(r"(?m)\A((?:[^\[\n]*\n)*?[ \t]*format[ \t]*=[ \t]*)\d+")
"""The format, before the first table."""

SCENARIO = Formats("scenario")
STATE = Formats("state file")


def renamed(text: str, old: tuple[str, ...], new: str) -> str:
    """The text with the table or field at *old* called *new*; everything else keeps its place.

    Entries of lists are not numbered: ``("stop", "cause")`` is the cause of every stop. Raises
    ``ValueError`` where the text has it in a way that cannot be renamed alone.
    """
    rows = text.split("\n")
    wanted = _with_name(tomllib.loads(text), old, new)
    part = re.compile(rf"(?<![\w-])(?P<q>[\"']?){re.escape(old[-1])}(?P=q)(?![\w-])(?=[^#]*[=\]])")
    for line in {
        line
        for path, line in positions(text).items()
        if tuple(each for each in path if isinstance(each, str))[: len(old)] == old
    }:
        rows[line - 1] = part.sub(new, rows[line - 1], count=1)
    found = "\n".join(rows)
    if tomllib.loads(found) != wanted:
        raise ValueError(f"{'.'.join(old)} cannot be renamed where it stands")
    return found


def _with_name(value: Any, old: tuple[str, ...], new: str) -> Any:
    if isinstance(value, list):
        return [_with_name(each, old, new) for each in value]
    if not isinstance(value, dict) or not old:
        return value
    first, *rest = old
    return {
        (new if name == first and not rest else name): _with_name(each, tuple(rest), new)
        if name == first
        else each
        for name, each in value.items()
    }
