"""Whether the window's memory stays flat while it is used: minute by minute, and what grows.

    python tests/benchmarks/window_memory.py --minutes 60 [--seed 1]

The hand of ``tests/trust/clicker.py`` uses the window, all pages made first. Printed are resident
memory and the objects of each minute, their slope once half of the time has passed, and the types
of which there are ever more. The hand goes by its seed; a busy machine does fewer actions.
"""

from __future__ import annotations

import argparse
import json
import statistics
import subprocess
import sys
from itertools import combinations
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

_CLICKER = Path(__file__).resolve().parents[1] / "trust/clicker.py"
_MOST_TYPES = 15


class Minute(NamedTuple):
    """One look at the process."""

    at_s: float
    memory_mb: float
    objects: dict[str, int]


def used(seed: int, minutes: float, folder: Path) -> tuple[list[Minute], int, str]:
    """Use the window: its minutes, how many actions, and what the clicker said."""
    said = subprocess.run(
        [
            *(sys.executable, str(_CLICKER), "--only", str(seed), "--minutes", str(minutes)),
            *("--keep", str(folder)),
        ],
        stdout=subprocess.PIPE,
        text=True,
        check=False,
    ).stdout
    told = folder / f"seed-{seed}/found.json"
    if not told.exists():
        return [], 0, said
    found = json.loads(told.read_text(encoding="utf-8"))
    return [Minute(*each) for each in found["minutes"]], found["actions"], said


def per_minute(seen: list[tuple[float, float]]) -> float:
    """Median of the slopes between all pairs (Theil 1950, Sen 1968); seconds in, minutes out."""
    return 60 * statistics.median((b - a) / (t - s) for (s, a), (t, b) in combinations(seen, 2))


def growing(minutes: list[Minute]) -> list[tuple[float, str, int, int]]:
    """Types of ever more objects: how many a minute, the first and the last count."""
    first, last = minutes[0].objects, minutes[-1].objects
    found = []
    for name, count in last.items():
        seen = [(each.at_s, float(each.objects.get(name, 0))) for each in minutes]
        slope = per_minute(seen)
        if slope > 0 and count > first.get(name, 0):
            found.append((slope, name, first.get(name, 0), count))
    return sorted(found, reverse=True)[:_MOST_TYPES]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=float, default=60.0)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with TemporaryDirectory() as folder:
        minutes, actions, said = used(asked.seed, asked.minutes, Path(folder))
    print(said)
    print(f"{actions:,} actions; minute, MB, objects")
    for each in minutes:
        print(f"{each.at_s / 60:6.1f} {each.memory_mb:8.1f} {sum(each.objects.values()):10,}")
    late = minutes[len(minutes) // 2 :]
    if len(late) < 2:
        print("too short to tell what grows: four minutes at least")
        return
    slope = per_minute([(each.at_s, each.memory_mb) for each in late])
    print(f"in the second half {slope:+.2f} MB a minute; types of ever more objects, a minute:")
    for grows, name, first, last in growing(late):
        print(f"{grows:+8.1f}  {name}, {first:,} to {last:,}")


if __name__ == "__main__":
    main()
