"""Records of demos, lessons and a thousand random lines against the digests that were kept.

    python tests/trust/kept_records.py [--engine compiled] [--lines 50] [--first 100]
                                       [--no-demos] [--processes 2]
    python tests/trust/kept_records.py --show line/17 [--engine compiled]
    python tests/trust/kept_records.py --make

Prints each case that differs with the groups of its record in which it does, and counts; exits
with 1 where any does. ``--show`` prints all that a case says, to be compared by ``diff`` with what
another version of the program prints. ``--make`` keeps what is found from now on, and the
digests of the self-check with it.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from multiprocessing import get_context
from typing import get_args

import tests_of_this_clone  # noqa: F401

from linesim.about import self_check
from linesim.fast import Engine, kept_engine, simulate
from linesim.record import Record
from tests.line import kept
from tests.line.kept_cases import (
    RANDOM_LINES,
    Case,
    case_of,
    names_of_demos,
    names_of_lines,
    names_of_parts,
)


def main() -> int:
    asked = _asked()
    if asked.engine == "compiled":
        kept_engine.make()
    if asked.show is not None:
        for group, text in kept.texts(asked.show, _record(asked.engine, asked.show)).items():
            print(f"== {group}\n{text}")
        return 0
    names = [*names_of_demos(), *names_of_parts()] if asked.demos else []
    names += names_of_lines(asked.first, asked.lines)
    if asked.make:
        kept.write(_found(asked.engine, names, asked.processes))
        self_check.keep(self_check.digests(asked.engine))
        print(f"{len(names)} cases kept in {kept.FILE}")
        return 0
    return _compare(names, asked.engine, asked.processes)


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--engine", choices=get_args(Engine), default="interpreted")
    parser.add_argument("--lines", type=int, help="so many, not all that follow")
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--demos", action=argparse.BooleanOptionalAction, default=True)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--show", type=_case, metavar="CASE")
    parser.add_argument("--make", action="store_true")
    asked = parser.parse_args()
    if asked.make and (asked.lines, asked.first, asked.demos) != (None, 0, True):
        parser.error("--make keeps all cases: without --lines, --first and --no-demos")
    if asked.lines is None:
        asked.lines = RANDOM_LINES - asked.first
    if asked.first < 0 or asked.lines < 0 or asked.first + asked.lines > RANDOM_LINES:
        parser.error(f"lines are kept from 0 to {RANDOM_LINES - 1}")
    return asked


def _case(name: str) -> Case:
    try:
        return case_of(name)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def _compare(names: list[str], engine: Engine, processes: int) -> int:
    if kept.made_with() != kept.was_made_with():
        print(f"kept: {kept.was_made_with()}; here: {kept.made_with()}")
    begun = time.monotonic()
    differ = 0
    groups: Counter[str] = Counter()
    for name, found in _found(engine, names, processes).items():
        if differing := kept.differing(found, kept.read()[name]):
            differ += 1
            groups.update(differing)
            print(f"{name}: {', '.join(differing)}")
    print(
        f"{len(names)} cases, engine {engine}, {time.monotonic() - begun:.0f} s: "
        f"{differ} differ from what was kept"
        + "".join(f"; {group} in {times}" for group, times in groups.most_common())
    )
    return 1 if differ else 0


def _digests(engine: Engine, name: str) -> dict[str, str]:
    case = case_of(name)
    return kept.digests(case, _record(engine, case))


def _record(engine: Engine, case: Case) -> Record:
    return simulate(case.scenario, engine=engine, **case.asked)


def _found(engine: Engine, names: list[str], processes: int) -> kept.Kept:
    """Digests of all cases, in their order."""
    found = {}
    with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as workers:
        made = workers.map(partial(_digests, engine), names, chunksize=4)
        for name, each in zip(names, made, strict=True):
            found[name] = each
            if len(found) % 100 == 0:
                print(f"{len(found)} of {len(names)} cases", file=sys.stderr, flush=True)
    return found


if __name__ == "__main__":
    raise SystemExit(main())
