"""How fast the line runs, against the same line written plainly in SimPy, in one run.

    python tests/benchmarks/engine.py [--hours 24] [--rounds 3] [--compile]

Both engines make the same record; the compiled one is made first where it is not there yet.
``--compile`` makes it again, to say how long that takes. Prints figures and fails nobody. Ratios
hold where seconds do not: the machine is shared.
"""

from __future__ import annotations

import argparse
import statistics
import subprocess
import sys
import time
import tracemalloc
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from plain import PlainLine

from linesim.fast import kept_engine, simulate
from linesim.fast.engine import Engine
from linesim.record import Record
from linesim.scenario import Scenario, load

YEAR_H = 8760.0
DEMO = Path(__file__).parents[2] / "scenarios" / "short-bridge.toml"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--hours", type=float, default=48.0)
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--compile", action="store_true")
    args = parser.parse_args()
    scenario = load(DEMO)
    _make(again=args.compile)
    seconds: dict[str, list[float]] = {"plain": [], "full": [], "summary": [], "compiled": []}
    reams: dict[str, int] = {}
    for _ in range(args.rounds):  # in turn, so that a slow minute of the machine hits all alike
        begun = time.process_time()
        reams["plain"] = PlainLine(scenario, seed=1).run(args.hours)
        seconds["plain"].append(time.process_time() - begun)
        for name in ("full", "summary", "compiled"):
            begun = time.process_time()
            record = _run(name, scenario, args.hours)
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
    for name in ("summary", "compiled"):
        print(f"growth with simulated time ({name}):")
        for hours in (args.hours / 4, args.hours, args.hours * 4):
            begun = time.process_time()
            _run(name, scenario, hours)
            spent = time.process_time() - begun
            tracemalloc.start()
            _run(name, scenario, hours)
            peak = tracemalloc.get_traced_memory()[1]
            tracemalloc.stop()
            print(
                f"  {hours:6.0f} h  {spent * 1000 / hours:8.4f} ms per h  peak {peak / 1e6:.2f} MB"
            )
    begun = time.process_time()
    _run("compiled", scenario, YEAR_H)
    print(f"a year, compiled: {time.process_time() - begun:.2f} s")


def _run(name: str, scenario: Scenario, hours: float) -> Record:
    engine: Engine = "compiled" if name == "compiled" else "simpy"
    return simulate(scenario, hours=hours, history=name == "full", engine=engine)


def _make(*, again: bool) -> None:
    """Have the compiled engine, and say how long it took to make and to load."""
    if again:
        from linesim.fast.compiling import compile_parts

        begun, spent = time.perf_counter(), time.process_time()
        compile_parts()
        wall, processor = time.perf_counter() - begun, time.process_time() - spent
        print(f"made in one process in {wall:.1f} s, {processor:.1f} s of processor time")
    kept_engine.make()
    code = (
        "import time; begun = time.process_time()\n"
        "from linesim.fast import kept_engine; between = time.process_time()\n"
        "assert kept_engine.ready() is not None\n"
        "print(f'loaded by a new process in {time.process_time() - between:.2f} s')"
    )
    subprocess.run([sys.executable, "-c", code], check=True)


if __name__ == "__main__":
    main()
