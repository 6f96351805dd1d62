"""Both engines on many lines drawn at random: every run must have the same record.

    python tests/trust/engines.py [--lines 500] [--first 0] [--hours 2]

Prints each run that differs and a count; exits with 1 where any does.
"""

from __future__ import annotations

import argparse
import time

import tests_of_this_clone  # noqa: F401

from linesim.fast import NoCompiledEngineError, kept_engine, reasons_not_covered
from tests.fast.engines import of_any_line
from tests.line.any_line import any_forced, any_scenario


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lines", type=int, default=500)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--hours", type=float, default=2.0)
    args = parser.parse_args()
    kept_engine.make()
    begun = time.process_time()
    compared = differ = given_up = not_covered = 0
    seed = args.first - 1
    while compared < args.lines:
        seed += 1
        scenario = any_scenario(seed)
        if reasons_not_covered(scenario):
            not_covered += 1
            continue
        try:
            found = of_any_line(seed, scenario, any_forced(seed, scenario), args.hours)
        except NoCompiledEngineError as error:
            given_up += 1
            print(f"line {seed}: {error}", flush=True)
            continue
        compared += 1
        if found:
            differ += 1
            for name, (one, other) in found.items():
                print(f"line {seed}, {name}: {str(one)[:200]} / {str(other)[:200]}", flush=True)
    print(
        f"{compared} lines compared, {differ} differ; {given_up} given up, {not_covered} not"
        f" covered (orders); {time.process_time() - begun:.0f} s of processor time"
    )
    return 1 if differ else 0


if __name__ == "__main__":
    raise SystemExit(main())
