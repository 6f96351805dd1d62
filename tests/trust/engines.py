"""Both ways to run many lines drawn at random: every run must have the same record.

    python tests/trust/engines.py [--lines 500] [--first 0] [--hours 2] [--packed ...]

The flags are parts that all lines have: ``tests/line/parts.py`` says which.

Prints each run that differs and a count; exits with 1 where any does.
"""

from __future__ import annotations

import argparse
import time

import tests_of_this_clone  # noqa: F401

from linesim.fast import kept_engine
from tests.fast.engines import of_any_line
from tests.line.any_line import any_forced
from tests.line.parts import add_parts


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lines", type=int, default=500)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--hours", type=float, default=2.0)
    add_parts(parser)
    args = parser.parse_args()
    kept_engine.make()
    begun = time.process_time()
    differ = 0
    for seed in range(args.first, args.first + args.lines):
        scenario = args.part(seed)
        found = of_any_line(seed, scenario, any_forced(seed, scenario), args.hours)
        differ += bool(found)
        for name, (one, other) in found.items():
            print(f"line {seed}, {name}: {str(one)[:200]} / {str(other)[:200]}", flush=True)
    used = time.process_time() - begun
    print(f"{args.lines} lines compared, {differ} differ; {used:.0f} s of processor time")
    return 1 if differ else 0


if __name__ == "__main__":
    raise SystemExit(main())
