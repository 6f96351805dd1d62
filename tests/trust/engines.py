"""Both ways to run many lines drawn at random: every run must have the same record.

    python tests/trust/engines.py [--lines 500] [--first 0] [--hours 2]
        [--packed] [--handled] [--paced] [--bought] [--manned] [--walking]

With ``--packed`` all lines have a carton packer, and most a palletiser; with ``--handled`` all have
spare stands, or trucks that bring reels; with ``--paced`` the speed of most is kept down, by hand
or by the level of the bridge; with ``--bought`` reels have widths as bought, some are bad, joints
are at places, part reels are taken again; with ``--manned`` there are groups of people; with
``--walking`` they walk besides.

Prints each run that differs and a count; exits with 1 where any does.
"""

from __future__ import annotations

import argparse
import time

import tests_of_this_clone  # noqa: F401

from linesim.fast import kept_engine
from tests.fast.engines import of_any_line
from tests.line.any_line import any_forced, any_handled, any_paced, any_packed, any_scenario
from tests.line.bought_reels import any_bought
from tests.line.manned_lines import any_manned, any_walking


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lines", type=int, default=500)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--hours", type=float, default=2.0)
    parser.add_argument("--packed", action="store_true")
    parser.add_argument("--handled", action="store_true")
    parser.add_argument("--paced", action="store_true")
    parser.add_argument("--bought", action="store_true")
    parser.add_argument("--manned", action="store_true")
    parser.add_argument("--walking", action="store_true")
    args = parser.parse_args()
    drawn = any_packed if args.packed else any_handled if args.handled else any_scenario
    drawn = any_paced if args.paced else drawn
    drawn = any_bought if args.bought else drawn
    drawn = any_manned if args.manned else drawn
    drawn = any_walking if args.walking else drawn
    kept_engine.make()
    begun = time.process_time()
    differ = 0
    for seed in range(args.first, args.first + args.lines):
        scenario = drawn(seed)
        found = of_any_line(seed, scenario, any_forced(seed, scenario), args.hours)
        differ += bool(found)
        for name, (one, other) in found.items():
            print(f"line {seed}, {name}: {str(one)[:200]} / {str(other)[:200]}", flush=True)
    used = time.process_time() - begun
    print(f"{args.lines} lines compared, {differ} differ; {used:.0f} s of processor time")
    return 1 if differ else 0


if __name__ == "__main__":
    raise SystemExit(main())
