"""How often an answer from a plant's own log holds what the plant truly does.

    python tests/trust/hidden_plants.py [--lines short-bridge ...] [--weeks 1 2 3 4 5 6]
        [--plants 9] [--keep FILE]

A hidden plant is a demo line whose causes come and are put right otherwise than the demo says. It
runs for some weeks (ten shifts each) and leaves its stop log and its counts. Those are fitted into
the demo as ``fit-stops`` does it, and the fitted line is asked what it makes in a week, and what a
bridge half as long again and a second wrapper bring. The truth is the hidden plant itself, run
long. Prints how often the intervals held it. FILE keeps each plant as it ends: another call goes on
from there, and one with ``--plants 0`` prints what is there. Fails nobody.
"""

from __future__ import annotations

import argparse
import itertools
import json
import math
import statistics
import sys
from collections.abc import Iterable, Sequence
from dataclasses import asdict
from pathlib import Path

import tests_of_this_clone  # noqa: F401

from linesim.statistics import exact_proportion, student_interval
from tests.trust.plant_trial import FIGURES, LINES, Trial, try_plant

HEAD = (
    "Plants",
    "Figure",
    "Number",
    "Held by both, %",
    "By chance alone, %",
    "Half width, reams",
    "Of it chance",
    "Error / half width",
    "Scatter of errors, by what is said",
)


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--lines", nargs="+", choices=LINES, default=LINES)
    parser.add_argument("--weeks", nargs="+", type=int, default=range(1, 7))
    parser.add_argument("--plants", type=int, default=9, help="of each line and length of log")
    parser.add_argument("--truth-weeks", type=int, default=27)
    parser.add_argument("--keep", type=Path)
    asked = parser.parse_args()
    trials = {trial.place: trial for trial in _kept(asked.keep)}
    wanted = itertools.product(range(asked.plants), asked.weeks, asked.lines)
    places = [(line, weeks, number) for number, weeks, line in wanted]
    left = [place for place in places if place not in trials]
    for n, place in enumerate(left, 1):
        trials[place] = trial = try_plant(*place, truth_weeks=asked.truth_weeks)
        print(f"{n} of {len(left)}: {place}, {trial.seconds:.1f} s", file=sys.stderr, flush=True)
        if asked.keep is not None:
            with asked.keep.open("a", encoding="utf-8") as file:
                file.write(json.dumps(asdict(trial)) + "\n")
    print_tables([trials[place] for place in places or sorted(trials)])


def _kept(path: Path | None) -> list[Trial]:
    if path is None or not path.exists():
        return []
    return [Trial(**json.loads(line)) for line in path.read_text(encoding="utf-8").splitlines()]


def print_tables(trials: Sequence[Trial]) -> None:
    """All plants, then by line, then by weeks of log."""
    print(f"| {' | '.join(HEAD)} |")
    print("| --- " * len(HEAD) + "|")
    groups: dict[str, list[Trial]] = {"all": list(trials)}
    for trial in trials:
        groups.setdefault(trial.line, []).append(trial)
    for trial in sorted(trials, key=lambda each: each.weeks):
        groups.setdefault(f"{trial.weeks} weeks of log", []).append(trial)
    for name, some in groups.items():
        for figure in FIGURES:
            print(f"| {name} | {figure} | {' | '.join(_row(some, figure))} |")
    seconds = sum(trial.seconds for trial in trials)
    print(f"\n{seconds:,.0f} s of processor time for {len(trials)} plants.")


def _row(trials: Iterable[Trial], figure: str) -> list[str]:
    held = alone = number = 0
    widths, chance, errors, scores = [], [], [], []
    for trial in trials:
        said = trial.said(figure)
        truth = student_interval(trial.truth[figure])
        # The truth is itself known to some reams only: that is no fault of the answer.
        error = abs(said.mean - truth.mean)
        held += error <= math.hypot(said.both, truth.half_width)
        alone += error <= math.hypot(said.half_width, truth.half_width)
        number += 1
        widths.append(said.both)
        chance.append(said.half_width)
        errors.append((said.mean - truth.mean) / said.both)
        scores.append((said.mean - truth.mean) / math.hypot(said.both, truth.half_width))
    share = exact_proportion(held, number)
    return [
        str(number),
        f"{100 * held / number:.1f} ({100 * share.low:.1f} to {100 * share.high:.1f})",
        f"{100 * alone / number:.1f}",
        f"{statistics.mean(widths):,.0f}",
        f"{statistics.mean(chance):,.0f}",
        f"{statistics.mean(errors):+.2f}",
        f"{1.96 * math.sqrt(statistics.mean(s * s for s in scores)):.2f}",
    ]


if __name__ == "__main__":
    main()
