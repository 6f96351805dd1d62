"""Line ends and the byte order mark: each line keeps the end it had."""

from __future__ import annotations

from collections import Counter
from difflib import SequenceMatcher

_MARK = "\ufeff"


def normalized(text: str) -> str:
    """*text* with one kind of line end and no mark, as it is edited."""
    return text.removeprefix(_MARK).replace("\r\n", "\n")


def with_endings_of(old: str, new: str) -> str:
    """*new* (one kind of line end, no mark) with the ends and the mark of *old*.

    In a file of mixed line ends a line that stayed keeps its own; a new line gets the end that
    most lines have.

    >>> with_endings_of("a\\r\\nb\\n", "a\\nB\\n")
    'a\\r\\nB\\r\\n'
    """
    mark = _MARK if old.startswith(_MARK) else ""
    pairs = [_split(line) for line in old.removeprefix(_MARK).split("\n")]
    ends = Counter(end for _, end in pairs[:-1])
    if not ends["\r"]:
        return mark + new
    usual = "\r" if ends["\r"] >= ends[""] else ""
    rows = new.split("\n")
    put = [usual] * (len(rows) - 1)
    if ends[""]:
        matcher = SequenceMatcher(None, [row for row, _ in pairs], rows, autojunk=False)
        for block in matcher.get_matching_blocks():
            for step in range(block.size):
                if block.a + step < len(pairs) - 1 and block.b + step < len(put):
                    put[block.b + step] = pairs[block.a + step][1]
    ended = [row + end for row, end in zip(rows, [*put, ""], strict=True)]
    return mark + "\n".join(ended)


def _split(line: str) -> tuple[str, str]:
    return (line[:-1], "\r") if line.endswith("\r") else (line, "")
