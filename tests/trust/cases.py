"""One wrong file and how the program met it: the case that the script does by thousands."""

from __future__ import annotations

import random
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tests.trust.broken_studies import broken_study
from tests.trust.broken_tables import broken_log, broken_production
from tests.trust.broken_toml import broken_lesson, broken_scenario
from tests.trust.meeting import MEETINGS
from tests.trust.watching import watched

MAKERS: dict[str, Callable[[random.Random, Path], tuple[str, Path]]] = {
    "scenario": broken_scenario,
    "stop log": broken_log,
    "production": broken_production,
    "study": broken_study,
    "lesson": broken_lesson,
}
_SHARES = {"scenario": 0.4, "stop log": 0.2, "production": 0.1, "study": 0.15, "lesson": 0.15}


@dataclass(frozen=True)
class Seen:
    """How one case ended."""

    kind: str
    number: int
    what: str
    found: str
    why: str
    cpu_s: float
    peak_mb: float


def one_case(kind: str, seed: int, number: int, folder: Path) -> Seen:
    """Make the file of one case in a new folder below *folder*, and meet it under watch."""
    chance = random.Random(f"{seed}/{kind}/{number}")
    place = folder / "case"
    place.mkdir()
    try:
        what, path = MAKERS[kind](chance, place)
        seen = watched(lambda: MEETINGS[kind](chance, path), place)
    finally:
        shutil.rmtree(place)
    return Seen(kind, number, what, seen.found, seen.why, seen.cpu_s, seen.peak_mb)


def cases(total: int) -> list[tuple[str, int]]:
    """Kind and number of each of *total* cases."""
    counts = {kind: int(total * share) for kind, share in _SHARES.items()}
    counts["scenario"] += total - sum(counts.values())
    return [(kind, number) for kind, count in counts.items() for number in range(count)]
