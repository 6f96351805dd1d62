"""Laws that hold whatever the line is, on many lines drawn at random.

    python tests/trust/laws.py [--scenarios 1000] [--seed 1]

Prints each law with how often it was tried and what broke it, and ends with 1 if one was broken.
Where theory gives no word on more bridge, it prints how often more bridge gave fewer reams.
"""

from __future__ import annotations

import argparse
import sys
import time
import traceback
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from random import Random
from types import ModuleType

ROOT = Path(__file__).parents[2]
if "tests" not in sys.modules:
    # Another package may have brought tests of its own by that name.
    package = ModuleType("tests")
    package.__path__ = [str(ROOT / "tests")]
    sys.modules["tests"] = package
    sys.path.insert(0, str(ROOT))

from tests.trust import packing_law  # noqa: E402
from tests.trust.bridge_law import BEYOND, more_bridge, with_more_bridge  # noqa: E402
from tests.trust.law_checks import (  # noqa: E402
    books_and_accounts,
    both_digests,
    in_cuts_or_in_km,
    kept_down,
    moved_by_weeks,
    order_of_the_lists,
    people_in_groups,
    people_walk,
    reels_bought,
    reels_brought,
    to_the_pallet,
    written_another_way,
)
from tests.trust.packing_law import fewer_with_more, more_room, packing_adds_up  # noqa: E402

LAWS: dict[str, Callable[[int], list[str]]] = {
    "books balance, spans have no gap, losses add up": books_and_accounts,
    "the same with cartons and pallets": to_the_pallet,
    "the same with spare stands and reel trucks": reels_brought,
    "the same where speed is kept down": kept_down,
    "the same with groups of people": people_in_groups,
    "the same where people walk": people_walk,
    "the same with reels as bought, bad ones, part reels": reels_bought,
    "a calendar moved by weeks moves the run": moved_by_weeks,
    "the same quantity written in another way": written_another_way,
    "an interval in cuts or in km of web": in_cuts_or_in_km,
    "the order of causes, planned work, breaks": order_of_the_lists,
    "more bridge makes no ream of a tandem line later": more_bridge,
    "more room before packers and palletiser makes none later": more_room,
    "cartons take their time and blanks, layers and pallets theirs": packing_adds_up,
}
SAME_BYTES = "the same seed gives the same bytes, in 1, 2 and 3 processes, in any order"
_SHOWN = 5
_TOLD_EVERY = 50


def main() -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--scenarios", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    first = asked.seed * 1_000_000
    seeds = range(first, first + asked.scenarios)
    faults, digests = _try_all(seeds)
    faults[SAME_BYTES] = _same_bytes(digests)
    print(f"{len(seeds)} lines drawn at random")
    for law, found in faults.items():
        lines = len({fault.partition(":")[0] for fault in found})
        print(f"    {law}: " + (f"broken on {lines}" if lines else "holds"))
        for fault in found[:_SHOWN]:
            print(f"        {fault}")
    _beyond(seeds[: max(1, len(seeds) // 10)])
    return 1 if any(faults.values()) else 0


def _try_all(seeds: range) -> tuple[dict[str, list[str]], dict[int, tuple[str, str]]]:
    """Line by line, as the laws share its run: faults by law, and the run's digests."""
    faults: dict[str, list[str]] = {words: [] for words in LAWS}
    digests = {}
    began = time.monotonic()
    for count, seed in enumerate(seeds, 1):
        for words, law in LAWS.items():
            try:
                found = law(seed)
            except Exception:
                found = [" | ".join(traceback.format_exc(limit=-1).split("\n"))]
            faults[words] += [f"seed {seed}: {fault}" for fault in found]
        digests[seed] = both_digests(seed)
        if count % _TOLD_EVERY == 0:
            broken = sum(map(len, faults.values()))
            took = time.monotonic() - began
            print(f"{count} lines, {broken} faults, {took:.0f} s", file=sys.stderr, flush=True)
            for words, found in faults.items():
                print("\n".join(f"  {words}: {each}" for each in found[-3:]), file=sys.stderr)
    return faults, digests


def _same_bytes(expected: dict[int, tuple[str, str]]) -> list[str]:
    """The same runs again in fresh processes, one, two and three, each time in another order."""
    found = []
    for processes in (1, 2, 3):
        order = Random(processes).sample(sorted(expected), len(expected))
        with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as workers:
            made = dict(zip(order, workers.map(both_digests, order, chunksize=10), strict=True))
        for seed, digests in expected.items():
            for what, one, other in zip(("sums", "history"), digests, made[seed], strict=True):
                if one != other:
                    found.append(f"seed {seed}: other {what} in {processes} processes")
    return found


def _beyond(seeds: range) -> None:
    print("\nwhere theory has no such word, fewer reams with more bridge:")
    for what in BEYOND:
        compared = [each for seed in seeds for each in with_more_bridge(seed, what)]
        _say(what, [each.wrapped for each in compared])
    print("\nand with more before carton packer or palletiser:")
    for what in packing_law.BEYOND:
        _say(what, [each for seed in seeds for each in fewer_with_more(seed, what)])


def _say(what: str, wrapped: list[tuple[int, int]]) -> None:
    fewer = [less - more for less, more in wrapped if more < less]
    most = f", at most {max(fewer)} fewer" if fewer else ""
    print(f"    {what}: {len(fewer)} of {len(wrapped)} comparisons{most}", flush=True)


if __name__ == "__main__":
    sys.exit(main())
