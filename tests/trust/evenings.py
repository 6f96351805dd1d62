"""How often a forecast's band holds what a line really made by the evening.

    python tests/trust/evenings.py [--cases 200] [--runs 19] [--band 0.9] [--hours 4]

A hidden line runs for a while (1 to 7 h), its state is written down as ``linesim state`` does, and
it runs on to the evening. The forecast sees the file and nothing else, on other random numbers.
Its band is from its r-th least to its r-th greatest run: where a forecast runs as the line does,
that holds the evening with chance (n + 1 - 2 r) / (n + 1) exactly, and leaves as many below it as
above. Prints the evenings held, below and above, and by how much lines that ran on differ from
those started from their written state, in their mean and in their spread. Fails nobody.
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
from linesim.statistics import (  # noqa: E402
    Interval,
    Proportion,
    exact_proportion,
    prediction_band,
    student_interval,
)

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
    ran_on: list[int]
    """Good reams of each hidden line by the evening."""
    foreseen: list[list[int]]
    """Those of each run from its written state."""

    @property
    def more(self) -> Interval:
        """Reams that a line which ran on made more than one from its written state."""
        pairs = zip(self.ran_on, self.foreseen, strict=True)
        return student_interval([truth - float(np.mean(runs)) for truth, runs in pairs], 0.95)

    @property
    def spreads(self) -> tuple[float, float]:
        """Standard deviation of the reams of lines that ran on, and from their written states."""
        return float(np.std(self.ran_on)), float(np.std(self.foreseen))


def evenings(line: Scenario, cases: int, runs: int, hours: float, band: float = BAND) -> Evenings:
    """Forecast each of ``cases`` evenings from its written state by so many runs."""
    held = below = above = 0
    ran_on: list[int] = []
    foreseen: list[list[int]] = []
    for case in range(cases):
        before = 1 + 6 * float(np.random.default_rng((HIDDEN, case)).random())
        hidden = {"seed": HIDDEN, "replication": case}
        record = simulate(line, warm_up_h=before, hours=hours, history=False, **hidden)
        truth = record.books.reams.good
        met = state_after(line, MOMENT, hours=before, **hidden)
        state = check_state_text(dump_state(met), line)
        made = [
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
        foreseen.append(made)
        ran_on.append(truth)
        ends = prediction_band(made, band)
        below += truth < ends.low
        above += truth > ends.high
        held += ends.low <= truth <= ends.high
    return Evenings(exact_proportion(held, cases), below, above, ran_on, foreseen)


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--cases", type=int, default=200)
    parser.add_argument("--runs", type=int, default=19)
    parser.add_argument("--band", type=float, default=BAND)
    parser.add_argument("--hours", type=float, default=4.0)
    parser.add_argument("--line", default="short-bridge")
    asked = parser.parse_args()
    line = load(find_scenario(asked.line))
    found = evenings(line, asked.cases, asked.runs, asked.hours, asked.band)
    held, more, (on, again) = found.held, found.more, found.spreads
    band, ends = round(100 * asked.band), f"{100 * held.low:.1f} to {100 * held.high:.1f}"
    print(
        f"{asked.line}, {asked.hours:g} h, {asked.runs} runs each: {held.count} of {held.n}"
        f" evenings within the band of {band} %: {100 * held.value:.1f} % ({ends});"
        f" {found.below} below, {found.above} above; lines that ran on made {more.mean:+.0f}"
        f" ± {more.half_width:.0f} reams and spread by {on:.0f}, from their written states by"
        f" {again:.0f}"
    )


if __name__ == "__main__":
    main()
