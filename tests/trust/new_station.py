"""The walk for a new station, compiled: the copy's machine code is made, and records are compared.

    python tests/trust/new_station.py [--hours 12] [--seeds 4]

Makes the copy of the clone that the walks of DEVELOPERS.md describe, has its rules compiled (some
15 s of processor), and runs demos with the sealer behind an outfeed both ways, with full history.
Prints each run; exits with 1 where records differ or one does not pass its audit. The short form
is in ``tests/docs/test_walks.py``.
"""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

import tests_of_this_clone  # noqa: F401

from tests.docs.walking import BOTH, run, walked


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--hours", type=float, default=12.0)
    parser.add_argument("--seeds", type=int, default=4)
    args = parser.parse_args()
    names = ("short-bridge", "two-wrappers", "small-crew", "orders")
    asked = f"NAMES, HOURS, SEEDS = {names}, {args.hours}, range({args.seeds})\n"
    with tempfile.TemporaryDirectory() as folder:
        copy = walked(Path(folder))
        run(copy, "-m", "linesim.fast.making")
        print(run(copy, "-c", asked + BOTH), end="")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
