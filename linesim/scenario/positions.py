"""On which line of a TOML text each key and each list entry stands.

The parser of the standard library gives values without lines. This scanner goes once through the
text, goes no deeper than ``MOST_NESTED``, and gives up quietly at the first thing it does not know:
saying what is wrong with the text is the parser's task.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from contextlib import suppress

from linesim.scenario.faults import Path

MOST_NESTED = 40
"""Deepest nesting of lists, tables and dotted names; no scenario needs more than five."""

_GAP = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_BASIC = re.compile(r'"((?:[^"\\\n]|\\.)*)"')
_LITERAL = re.compile(r"'([^'\n]*)'")
_LONG_BASIC = re.compile(r'"""(?:[^"\\]|\\[\s\S]|"{1,2}(?!"))*"{3,5}')
_LONG_LITERAL = re.compile(r"'''(?:[^']|'{1,2}(?!'))*'{3,5}")
_PLAIN = re.compile(r"[^,\]\}#\n\"'\[\{]+")


MOST_VALUES = 150_000
"""Most keys and list entries; the longest log that a law may hold takes two thirds of it."""


class BeyondReasonError(ValueError):
    """More nesting or more values than any honest file has; ``line`` is where."""

    def __init__(self, line: int, problem: str, limit: str) -> None:
        self.line, self.problem, self.limit = line, problem, limit
        super().__init__(problem)


def _too_deep(line: int) -> BeyondReasonError:
    return BeyondReasonError(
        line, "tables or lists are nested too deep", f"at most {MOST_NESTED} levels"
    )


class _GiveUpError(Exception):
    """The text is not what the grammar promises here."""


def positions(text: str) -> dict[Path, int]:
    """Line (from 1) of every table, key and list entry of *text*, as far as it can be read.

    Raises :class:`BeyondReasonError` for nesting or numbers that no honest file has.
    """
    scanner = _Scanner(text)
    with suppress(_GiveUpError):
        scanner.run()
    return scanner.lines


def line_of(path: Path, lines: dict[Path, int]) -> int | None:
    """Line of *path*, or of the nearest thing around it that has one."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return None


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines: dict[Path, int] = {}
        self._breaks = [m.start() for m in re.finditer("\n", text)]
        self._tables: dict[Path, int] = {}  # list of tables -> how many so far

    def run(self) -> None:
        header: Path = ()
        while True:
            self._skip(_GAP)
            if self.at >= len(self.text):
                return
            if self.text[self.at] == "[":
                header = self._header()
            else:
                self._value(self._key(header))
            self._skip(_SPACE)
            if not self.text.startswith(("\n", "\r", "#"), self.at) and self.at < len(self.text):
                raise _GiveUpError

    def _line(self) -> int:
        return bisect_right(self._breaks, self.at - 1) + 1

    def _record(self, path: Path, line: int) -> None:
        self.lines.setdefault(path, line)
        if len(self.lines) > MOST_VALUES:
            limit = f"at most {MOST_VALUES:,} fields and list entries"
            raise BeyondReasonError(line, "the file holds too many values", limit)

    def _skip(self, pattern: re.Pattern[str]) -> None:
        match = pattern.match(self.text, self.at)
        if match is not None:
            self.at = match.end()

    def _take(self, mark: str) -> None:
        if not self.text.startswith(mark, self.at):
            raise _GiveUpError
        self.at += len(mark)

    def _parts(self, deep: int) -> list[tuple[str, int]]:
        parts: list[tuple[str, int]] = []
        while True:
            self._skip(_SPACE)
            line = self._line()
            for pattern in (_BARE_KEY, _BASIC, _LITERAL):
                match = pattern.match(self.text, self.at)
                if match is not None:
                    break
            else:
                raise _GiveUpError
            name = match.group(match.lastindex or 0)
            if pattern is _BASIC and "\\" in name:
                # Only to find its line: an escaped name is never one of ours.
                name = name.encode("latin-1", "replace").decode("unicode_escape", "replace")
            parts.append((name, line))
            if deep + len(parts) > MOST_NESTED:
                raise _too_deep(line)
            self.at = match.end()
            self._skip(_SPACE)
            if not self.text.startswith(".", self.at):
                return parts
            self.at += 1

    def _header(self) -> Path:
        many = self.text.startswith("[[", self.at)
        self._take("[[" if many else "[")
        parts = self._parts(0)
        self._take("]]" if many else "]")
        path: Path = ()
        for number, (name, line) in enumerate(parts):
            path = (*path, name)
            self._record(path, line)
            last = number == len(parts) - 1
            if many and last:
                count = self._tables.get(path, 0)
                self._tables[path] = count + 1
                path = (*path, count)
                self._record(path, line)
            elif path in self._tables:
                path = (*path, self._tables[path] - 1)
        return path

    def _key(self, before: Path) -> Path:
        path = before
        for name, line in self._parts(len(before)):
            path = (*path, name)
            self._record(path, line)
        self._take("=")
        return path

    def _value(self, path: Path) -> None:
        self._skip(_SPACE)
        opening = self.text[self.at : self.at + 1]
        closing = {"[": "]", "{": "}"}.get(opening)
        if closing is None:
            return self._simple_value()
        if len(path) >= MOST_NESTED:
            raise _too_deep(self._line())
        self.at += 1
        self._skip(_GAP)
        index = 0
        while not self.text.startswith(closing, self.at):
            if opening == "[":
                inner = (*path, index)
                self._record(inner, self._line())
                index += 1
            else:
                inner = self._key(path)
            self._value(inner)
            self._skip(_GAP)
            if not self.text.startswith(closing, self.at):
                self._take(",")
                self._skip(_GAP)
        self.at += 1

    def _simple_value(self) -> None:
        for pattern in (_LONG_BASIC, _LONG_LITERAL, _BASIC, _LITERAL, _PLAIN):
            match = pattern.match(self.text, self.at)
            if match is not None:
                self.at = match.end()
                return
        raise _GiveUpError
