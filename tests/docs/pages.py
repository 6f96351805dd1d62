"""The pages about the program, taken apart for the tests."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

CLONE = Path(__file__).parents[2]
README = CLONE / "README.md"
MANUAL = tuple(sorted((CLONE / "linesim/manual").glob("*.md")))
"""The chapters, in their order."""
DEVELOPERS = CLONE / "DEVELOPERS.md"
TRUST = CLONE / "tests/trust/README.md"
RESULTS = CLONE / "tests/trust/RESULTS.md"

_FENCE = re.compile(r"^```(?P<kind>\w*)\n(?P<body>.*?)^```$", re.MULTILINE | re.DOTALL)


@dataclass(frozen=True)
class Block:
    """A fenced block: its kind (``sh``, ``text``), the heading above it, its lines."""

    kind: str
    heading: str
    lines: tuple[str, ...]


def blocks(page: Path) -> tuple[Block, ...]:
    """All fenced blocks of a page, in order."""
    text = page.read_text(encoding="utf-8")
    found = []
    for match in _FENCE.finditer(text):
        above = headings(text[: match.start()])
        body = tuple(match["body"].splitlines())
        found.append(Block(match["kind"], above[-1] if above else "", body))
    return tuple(found)


@dataclass(frozen=True)
class Step:
    """A step of a walk: ``where`` is how a file changes, ``anchor`` a line of it, if one is named.

    A step of kind ``console`` changes nothing: its lines are commands and parts of what they say.
    """

    walk: str
    where: str
    path: str
    anchor: str
    lines: tuple[str, ...]


_PLACE = re.compile(
    r"(?:(?P<new>[Aa] new file)\s+`(?P<made>[^`]+)`"
    r"|At the (?P<end>end) of `(?P<longer>[^`]+)`"
    r"|In\s+`(?P<path>[^`]+)`,\s+(?P<where>below|above|in place of)\s+the\s+line\s+"
    r"`(?P<anchor>[^`]+)`):$"
)


def walk_steps(page: Path) -> tuple[Step, ...]:
    """Every step of the walks under "How to add", in order."""
    text = page.read_text(encoding="utf-8").split("\n## How to add\n")[1].split("\n## ")[0]
    found = []
    for match in _FENCE.finditer(text):
        walk = headings(text[: match.start()])[-1].removeprefix("### ")
        lines = tuple(match["body"].splitlines())
        if match["kind"] == "console":
            found.append(Step(walk, "console", "", "", lines))
            continue
        place = _PLACE.search(text[: match.start()].rstrip())
        if place is None:
            assert match["kind"] == "sh", f"{walk}: where do these lines belong? {lines[0]}"
            continue
        if place["new"]:
            found.append(Step(walk, "new", place["made"], "", lines))
        elif place["end"]:
            found.append(Step(walk, "end", place["longer"], "", lines))
        else:
            found.append(Step(walk, place["where"], place["path"], place["anchor"], lines))
    return tuple(found)


def headings(text: str) -> list[str]:
    """The headings of a text, with their marks; what stands in fenced blocks is none."""
    return re.findall(r"^#+ .*$", _FENCE.sub("", text), re.MULTILINE)


def chapter(name: str) -> Path:
    """The chapter of that name, without its number and ending."""
    return next(page for page in MANUAL if page.stem.split("-", 1)[1] == name)


def commands(*pages: Path) -> list[str]:
    """Lines of shell blocks that a reader may type as they stand: ``linesim`` and ``cp``.

    Each once, where it stands first, without what is remarked behind it; a file is copied anew
    wherever the page says so.
    """
    shell = [
        line.split("  #")[0].strip()
        for page in pages
        for block in blocks(page)
        if block.kind == "sh"
        for line in block.lines
    ]
    return [
        line
        for number, line in enumerate(shell)
        if line.startswith("cp ") or (line.startswith("linesim ") and line not in shell[:number])
    ]


def answers(*pages: Path) -> dict[str, list[str]]:
    """What the pages print as said by each command: the texts below it, up to the next command."""
    found: dict[str, list[str]] = {}
    for page in pages:
        last = ""
        for block in blocks(page):
            if block.kind == "sh":
                last = block.lines[-1].split("  #")[0].strip()
            elif block.kind == "text" and last:
                found.setdefault(last, []).append("\n".join(block.lines))
    return found


def paths_named(page: Path) -> list[str]:
    """Everything in backquotes that is written like a path of the clone."""
    text = _FENCE.sub("", page.read_text(encoding="utf-8"))
    quoted = re.findall(r"`([^`\s]+)`", text)
    is_path = re.compile(r"\.?[\w.-]+(/[\w.-]+)+|[\w.-]+\.(md|toml|py)|\.importlinter[\w-]*")
    return sorted({name for name in quoted if is_path.fullmatch(name)})
