"""How fast the line runs, against the same line written plainly in SimPy, in one run.

    python tests/benchmarks/engine.py [--hours 24] [--rounds 3]

Prints figures and fails nobody. Ratios hold where seconds do not: the machine is shared.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
import tracemalloc
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from plain import PlainLine

from linesim.line import simulate
from linesim.scenario import load

DEMO = Path(__file__).parents[2] / "scenarios" / "short-bridge.toml"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--hours", type=float, default=48.0)
    parser.add_argument("--rounds", type=int, default=5)
    args = parser.parse_args()
    scenario = load(DEMO)
    seconds: dict[str, list[float]] = {"plain": [], "full": [], "summary": []}
    reams: dict[str, int] = {}
    for _ in range(args.rounds):  # in turn, so that a slow minute of the machine hits all alike
        begun = time.process_time()
        reams["plain"] = PlainLine(scenario, seed=1).run(args.hours)
        seconds["plain"].append(time.process_time() - begun)
        for name, history in (("full", True), ("summary", False)):
            begun = time.process_time()
            record = simulate(scenario, hours=args.hours, history=history)
            seconds[name].append(time.process_time() - begun)
            reams[name] = record.books.reams.good
    plain = statistics.median(seconds["plain"])
    print(f"{args.hours:g} h of {DEMO.stem}, median of {args.rounds} rounds in turn")
    for name, times in seconds.items():
        median = statistics.median(times)
        print(
            f"  {name:8} {median:7.2f} s  {args.hours / median:8.1f} simulated h/s"
            f"  {plain / median:5.1f} x plain  {reams[name]:7d} reams"
        )
    print("growth with simulated time (summary):")
    for hours in (args.hours / 4, args.hours, args.hours * 4):
        begun = time.process_time()
        simulate(scenario, hours=hours, history=False)
        spent = time.process_time() - begun
        tracemalloc.start()
        simulate(scenario, hours=hours, history=False)
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        print(f"  {hours:6.0f} h  {spent * 1000 / hours:6.2f} ms per h  peak {peak / 1e6:.2f} MB")


if __name__ == "__main__":
    main()
