"""How often a forecast's band holds what a line really made by the evening.

    python tests/trust/evenings.py [--cases 200] [--runs 60] [--hours 4] [--line short-bridge]

A hidden line runs for a while (1 to 7 h), its state is written down as ``linesim state`` does, and
it runs on to the evening. The forecast sees the file and nothing else, on other random numbers.
Prints the share of evenings within the band of 90 %, below and above it. Fails nobody.
"""

from __future__ import annotations

import argparse
import sys
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

import numpy as np

ROOT = Path(__file__).parents[2]
if "tests" not in sys.modules:
    # Another package may have brought tests of its own by that name.
    package = ModuleType("tests")
    package.__path__ = [str(ROOT / "tests")]
    sys.modules["tests"] = package
    sys.path.insert(0, str(ROOT))

from linesim.fast import simulate, state_after  # noqa: E402
from linesim.scenario import (  # noqa: E402
    Scenario,
    check_state_text,
    dump_state,
    find_scenario,
    load,
)
from linesim.statistics import Proportion, exact_proportion, quantile_of  # noqa: E402

BAND = 0.9
MOMENT = "2026-03-02 14:20"
HIDDEN, SEEN = 1001, 2002
"""Seeds of the hidden line and of the forecasts."""


@dataclass(frozen=True)
class Evenings:
    """What became of so many forecasts."""

    held: Proportion
    below: int
    above: int
    narrower: float
    """Mean width of the bands by that of what evenings of such lines spread over, all in all."""


def evenings(line: Scenario, cases: int, runs: int, hours: float) -> Evenings:
    """Forecast each of ``cases`` evenings from its written state by so many runs."""
    held = below = above = 0
    widths, truths = [], []
    for case in range(cases):
        before = 1 + 6 * float(np.random.default_rng((HIDDEN, case)).random())
        hidden = {"seed": HIDDEN, "replication": case}
        record = simulate(line, warm_up_h=before, hours=hours, history=False, **hidden)
        truth = record.books.reams.good
        met = state_after(line, MOMENT, hours=before, **hidden)
        state = check_state_text(dump_state(met), line)
        foreseen = [
            simulate(
                line,
                seed=SEEN + case,
                replication=run,
                hours=hours,
                state=state,
                history=False,
            ).books.reams.good
            for run in range(runs)
        ]
        tail = (1 - BAND) / 2
        low, high = (quantile_of(foreseen, share).value for share in (tail, 1 - tail))
        assert low is not None
        assert high is not None
        below += truth < low
        above += truth > high
        held += low <= truth <= high
        widths.append(high - low)
        truths.append(truth)
    spread = float(np.quantile(truths, 0.95) - np.quantile(truths, 0.05))
    return Evenings(
        exact_proportion(held, cases), below, above, float(np.mean(widths)) / (spread or 1.0)
    )


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--cases", type=int, default=200)
    parser.add_argument("--runs", type=int, default=60)
    parser.add_argument("--hours", type=float, default=4.0)
    parser.add_argument("--line", default="short-bridge")
    asked = parser.parse_args()
    found = evenings(load(find_scenario(asked.line)), asked.cases, asked.runs, asked.hours)
    held = found.held
    band, ends = round(100 * BAND), f"{100 * held.low:.1f} to {100 * held.high:.1f}"
    print(
        f"{asked.line}, {asked.hours:g} h, {asked.runs} runs each: {held.count} of {held.n}"
        f" evenings within the band of {band} %: {100 * held.value:.1f} % ({ends});"
        f" {found.below} below, {found.above} above; bands {100 * found.narrower:.0f} % as wide as"
        " all evenings together"
    )


if __name__ == "__main__":
    main()
