"""How often intervals hold the truth, and what MSER-5 does, measured.

    python tests/trust/interval_coverage.py [--repetitions 2000] [--processes 1] [--keep FOLDER]

Makes pools of independent runs (about ten minutes of a processor's time, kept in FOLDER if one is
named), repeats on runs drawn from them what a study does, and prints two tables. Fails nobody.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from types import ModuleType

import numpy as np

ROOT = Path(__file__).parents[2]
if "tests" not in sys.modules:
    # Another package may have brought tests of its own by that name.
    package = ModuleType("tests")
    package.__path__ = [str(ROOT / "tests")]
    sys.modules["tests"] = package
    sys.path.insert(0, str(ROOT))

from linesim.scenario import find_scenario, load  # noqa: E402
from tests.trust.covering import (  # noqa: E402
    Draw,
    Numbers,
    chance,
    fixed,
    one_by_one,
    paired,
    quantile,
    repeated,
    until_narrow,
)
from tests.trust.pools import (  # noqa: E402
    MEASURES,
    Maker,
    runs_of_a_queue,
    runs_of_the_line,
)
from tests.trust.warm_up_rule import rows as warm_up_rows  # noqa: E402

LINE_RUNS, QUEUE_RUNS, LONG_RUNS = 2000, 300, 10
HOURS, WARM_UP_H, LONG_H, LONG_WARM_UP_H = 3, 1, 1000, 20
GAP_S, SERVICE_S, REAMS = 20.0, 10.0, 500
EACH = 5
"""Runs that an interval rests on where their number is settled beforehand."""

Row = tuple[str, str, Numbers, Callable[[Draw], tuple[bool, int]]]
"""What is estimated, what counts as the truth, the pool, and what a study does with it."""


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--repetitions", type=int, default=2000)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--keep", type=Path)
    asked = parser.parse_args()
    maker = Maker(asked.processes, asked.keep)
    print("| Interval of 95 % for | Truth | Runs | Repetitions | Held the truth, % |")
    print("| --- | --- | --- | --- | --- |")
    for number, (what, truth, pool, study) in enumerate([*_queue(maker), *_line(maker)]):
        found = repeated(pool, study, asked.repetitions, seed=number)
        cells = (what, truth, f"{found.runs:.0f}", f"{asked.repetitions:,}", found.words())
        print(f"| {' | '.join(cells)} |", flush=True)
    print()
    print(
        "| phi | Starts at | Length | Best cut | MSER-5 cuts (median) | Error uncut / best"
        " | Error MSER-5 / best | Too short, it says |"
    )
    print("| --- " * 8 + "|")
    for row in warm_up_rows(asked.repetitions, seed=1):
        print(f"| {' | '.join(row)} |", flush=True)


def _queue(maker: Maker) -> Iterator[Row]:
    """One station, reams at random, wrapping times at random: M/M/1 at load 1/2."""
    one = runs_of_a_queue(gap_s=GAP_S, service_s=SERVICE_S, reams=REAMS, seed=12)
    pool = maker.pool("queue", one, QUEUE_RUNS)
    load, stay = SERVICE_S / GAP_S, 1 / (1 / SERVICE_S - 1 / GAP_S)
    exact = "theory, exact"
    yield "M/M/1: share of time at work", exact, pool[:, 0], fixed(load, EACH)
    yield "M/M/1: mean time waiting and being wrapped", exact, pool[:, 1], fixed(stay, EACH)


def _line(maker: Maker) -> Iterator[Row]:
    """The demo line short-bridge, and the same with ten more metres of bridge."""
    short = load(find_scenario("short-bridge"))
    longer = short.varied(bridge={"length_m": short.bridge.length_m + 10})
    pools, long = [], []
    for name, scenario in (("demo", short), ("longer-bridge", longer)):
        one = runs_of_the_line(scenario, seed=11, hours=HOURS, warm_up_h=WARM_UP_H)
        pools.append(maker.pool(name, one, LINE_RUNS))
        one = runs_of_the_line(scenario, seed=13, hours=LONG_H, warm_up_h=LONG_WARM_UP_H)
        long.append(maker.pool(f"{name}-long", one, LONG_RUNS).mean(axis=0))
    a, b = pools
    yield from _means(a, long[0])
    yield from _differences(b, a, long[1] - long[0])
    yield from _others(a[:, MEASURES.index("good_reams_per_hour")])


VERY_LONG = f"{LONG_RUNS * LONG_H:,} h of the line"
OF_THE_POOL = "all runs of the pool"


def _means(runs: Numbers, long: Sequence[float]) -> Iterator[Row]:
    words = {
        "good_reams_per_hour": "good reams an hour",
        "oee": "OEE",
        "performance": "performance, a ratio",
        "waste_fraction": "share of paper wasted, a ratio",
    }
    for number, name in enumerate(MEASURES):
        pool = runs[:, number]
        yield words[name], OF_THE_POOL, pool, fixed(float(pool.mean()), EACH)
        yield words[name], VERY_LONG, pool, fixed(float(long[number]), EACH)


def _differences(b: Numbers, a: Numbers, long: Sequence[float]) -> Iterator[Row]:
    pairs = np.arange(len(a), dtype=np.float64)
    for name, words in (("good_reams_per_hour", "good reams an hour"), ("oee", "OEE")):
        at = MEASURES.index(name)
        first, second = b[:, at], a[:, at]
        truth = float((first - second).mean())
        what = f"ten more metres of bridge, paired: {words}"
        yield what, OF_THE_POOL, pairs, paired(truth, first, second, EACH)
        yield what, VERY_LONG, pairs, paired(float(long[at]), first, second, EACH)


def _others(pool: Numbers) -> Iterator[Row]:
    mean, bar = float(pool.mean()), float(np.quantile(pool, 0.3))
    for runs in (2, 10, 20):
        yield f"good reams an hour, {runs} runs", OF_THE_POOL, pool, fixed(mean, runs)
    for share, runs in ((0.5, 20), (0.9, 40), (0.1, 40)):
        truth = float(np.quantile(pool, share, method="inverted_cdf"))
        what = f"good reams an hour, {100 * share:.0f} % of runs below"
        yield what, OF_THE_POOL, pool, quantile(truth, share, runs)
    below = float((pool < bar).mean())
    yield "chance of a poor run", OF_THE_POOL, pool, chance(below, bar, 20)
    for first in (2, 10, 20):
        what = f"good reams, until within 3 %, {first} runs at first"
        yield what, OF_THE_POOL, pool, until_narrow(mean, 0.03, first=first)
    for least in (2, 10, 20):
        what = f"good reams, one by one until within 3 %, at least {least}"
        yield what, OF_THE_POOL, pool, one_by_one(mean, 0.03, least=least)


if __name__ == "__main__":
    main()
