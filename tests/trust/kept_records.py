"""Records of the demos and of a thousand random lines against the digests that were kept.

    python tests/trust/kept_records.py [--engine compiled] [--first 0] [--cases 1015]
    python tests/trust/kept_records.py --make
    python tests/trust/kept_records.py --show "line 17"

Prints each case that differs with the groups in which it does, and a count; exits with 1 where any
does. ``--make`` keeps what is found instead; ``--show`` prints all that a case says, so that two
versions of the program can be compared line by line.
"""

from __future__ import annotations

import argparse
from functools import partial

import tests_of_this_clone  # noqa: F401

from linesim.fast import simulate
from tests.line import kept


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--engine", default="interpreted")
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--cases", type=int, default=len(kept.cases()))
    parser.add_argument("--make", action="store_true")
    parser.add_argument("--show", default="")
    args = parser.parse_args()
    run = partial(simulate, engine=args.engine)
    if args.show:
        for group, text in kept.texts(kept.record_of(args.show, run)).items():
            print(f"== {group}\n{text}")
        return 0
    known = {} if args.make else kept.kept()
    lines, differ = [], 0
    cases = kept.cases()[args.first : args.first + args.cases]
    for case in cases:
        found = kept.digests(kept.record_of(case, run))
        lines.append(kept.written(case, found))
        if not args.make and found != known[case]:
            differ += 1
            groups = [group for group in found if found[group] != known[case].get(group)]
            print(f"{case}: {', '.join(groups)}", flush=True)
    if args.make:
        kept.FILE.write_text("\n".join(lines) + "\n", encoding="utf-8")
    else:
        print(f"{len(cases)} cases, {differ} differ from what was kept")
    return 1 if differ else 0


if __name__ == "__main__":
    raise SystemExit(main())
