"""How fast the line runs, against the same line written plainly in SimPy, in one run.

    python tests/benchmarks/engine.py [--hours 48] [--rounds 5] [--compile]

The plain model is the reference line, the judge of the rules: it keeps no accounts, and begins
with everything new, without a run-in. All ways to run make the same record; machine code is made
first where it is not there yet. ``--compile`` makes it again, to say how long that takes. Prints
figures and fails nobody. Ratios hold where seconds do not: the machine is shared.
"""

from __future__ import annotations

import argparse
import statistics
import subprocess
import sys
import time
import tracemalloc
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "trust"))

import tests_of_this_clone  # noqa: F401

from linesim.fast import NoCompiledEngineError, kept_engine, simulate
from linesim.fast.engine import Engine
from linesim.record import Record
from linesim.scenario import Scenario, load
from tests.reference.line import ReferenceLine
from tests.reference.luck import Luck

YEAR_H = 8760.0
DEMO = Path(__file__).parents[2] / "scenarios" / "short-bridge.toml"
PLAIN = "plain"
INTERPRETED, INTERPRETED_HISTORY = "interpreted, sums", "interpreted, full history"
COMPILED, COMPILED_HISTORY = "compiled, sums", "compiled, full history"
WAYS: dict[str, tuple[Engine, bool]] = {
    INTERPRETED: ("interpreted", False),
    INTERPRETED_HISTORY: ("interpreted", True),
    COMPILED: ("compiled", False),
    COMPILED_HISTORY: ("compiled", True),
}
"""Name of each way to run, its engine, and whether it keeps a history."""
RATIOS = (
    (PLAIN, INTERPRETED),
    (PLAIN, INTERPRETED_HISTORY),
    (PLAIN, COMPILED),
    (PLAIN, COMPILED_HISTORY),
    (INTERPRETED, COMPILED),
    (INTERPRETED_HISTORY, INTERPRETED),
    (COMPILED_HISTORY, COMPILED),
)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--hours", type=float, default=48.0)
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--compile", action="store_true")
    args = parser.parse_args()
    scenario = load(DEMO)
    _make(again=args.compile)
    ways = [way for way in WAYS if _can(way, scenario)]
    seconds: dict[str, list[float]] = {name: [] for name in (PLAIN, *ways)}
    reams: dict[str, int] = {}
    for _ in range(args.rounds):  # in turn, so that a slow minute of the machine hits all alike
        for name, spent in seconds.items():
            begun = time.process_time()
            if name == PLAIN:
                reams[name] = ReferenceLine(scenario, Luck(1, 0)).run(args.hours).good
            else:
                reams[name] = _run(name, scenario, args.hours).books.reams.good
            spent.append(time.process_time() - begun)
    median = {name: statistics.median(spent) for name, spent in seconds.items()}
    print(f"{args.hours:g} h of {DEMO.stem}, median of {args.rounds} rounds in turn")
    for name, spent in median.items():
        print(
            f"  {name:26} {spent:7.3f} s  {args.hours / spent:8.1f} simulated h/s"
            f"  {reams[name]:7d} reams"
        )
    print("time of one by time of another:")
    for slower, faster in RATIOS:
        if slower in median and faster in median:
            print(f"  {slower:26} by {faster:26} {median[slower] / median[faster]:7.2f}")
    for name in (INTERPRETED, COMPILED):
        _print_growth(name, scenario, args.hours)
    for name in (COMPILED, COMPILED_HISTORY):
        if name in ways:
            begun = time.process_time()
            _run(name, scenario, YEAR_H)
            print(f"a year, {name}: {time.process_time() - begun:.2f} s")


def _print_growth(name: str, scenario: Scenario, hours: float) -> None:
    print(f"growth with simulated time ({name}):")
    for length in (hours / 4, hours, hours * 4):
        begun = time.process_time()
        _run(name, scenario, length)
        spent = time.process_time() - begun
        tracemalloc.start()
        _run(name, scenario, length)
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        print(f"  {length:6.0f} h  {spent * 1000 / length:8.4f} ms per h  peak {peak / 1e6:.2f} MB")


def _run(name: str, scenario: Scenario, hours: float) -> Record:
    engine, history = WAYS[name]
    return simulate(scenario, hours=hours, history=history, engine=engine)


def _can(name: str, scenario: Scenario) -> bool:
    try:
        _run(name, scenario, 0.1)
    except NoCompiledEngineError as error:
        print(f"{name}: left out, {error}")
        return False
    return True


def _make(*, again: bool) -> None:
    """Have the compiled engine, and say how long it took to make and to load."""
    if again:
        from linesim.fast.compiling import compile_rules

        begun, spent = time.perf_counter(), time.process_time()
        compile_rules()
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
