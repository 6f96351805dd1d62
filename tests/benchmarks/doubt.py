"""What doubt costs: default studies of a line whose every cause is doubted, against the same known.

    python tests/benchmarks/doubt.py [--rounds 3]

Alternating, in one process, the compiled engine in use. Prints the ratio of processor time for each
study and fails nobody.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "trust"))

import tests_of_this_clone  # noqa: F401

import linesim
from linesim.scenario import Scenario, check_text, shipped_scenarios, update, without_doubt

STUDIES = ("add_wrapper", "size_bridge", "rank_stops")


def doubted_line() -> Scenario:
    """The short bridge, each interval and time to restore known to a third or so."""
    text = shipped_scenarios()["short-bridge"].read_text(encoding="utf-8")
    changes = {}
    for n, stop in enumerate(check_text(text).stop):
        means = {stop.meter: stop.interval.average(), "restore_min": stop.restore_min.average()}
        changes[f"stop[{n}].doubt"] = [
            {"of": field, "between": [0.7 * mean, 1.4 * mean]} for field, mean in means.items()
        ]
    return check_text(update(text, changes))


def seconds(study: str, line: Scenario) -> float:
    """Processor time of a default study."""
    began = time.process_time()
    getattr(linesim, study)(line, processes=1)
    return time.process_time() - began


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--rounds", type=int, default=3)
    rounds = parser.parse_args().rounds
    line = doubted_line()
    known = without_doubt(line)
    # What is loaded for the first study alone is not what doubt costs.
    linesim.add_wrapper(line, replications=2, hours=8, processes=1)
    for study in STUDIES:
        spent = [(seconds(study, line), seconds(study, known)) for _ in range(rounds)]
        ratio = statistics.median(a / b for a, b in spent)
        print(f"{study}: {ratio:.2f} times ({spent[0][0]:.1f} s against {spent[0][1]:.1f} s)")


if __name__ == "__main__":
    main()
