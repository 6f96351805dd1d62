"""The line against one written apart from it: on the same luck they agree set by set."""

from __future__ import annotations

import math

import numpy as np
import pytest

from linesim.fast import simulate
from linesim.scenario import load, shipped_scenarios
from tests.line.calm_line import calm
from tests.reference.compared import compared
from tests.reference.line import ReferenceLine
from tests.reference.lines import LINES
from tests.reference.luck import Luck
from tests.reference.parts import USUAL
from tests.reference.rare_lines import RARE

HOURS = 4


@pytest.mark.parametrize("what", LINES)
def test_the_line_is_the_one_described(what: str) -> None:
    tables = USUAL | LINES[what]
    hours = tables.pop("hours", HOURS)
    found = compared(calm(**tables), hours)
    assert found.first_different == ""
    assert found.sets > 300


@pytest.mark.parametrize("what", RARE)
def test_what_is_rare_is_as_described(what: str) -> None:
    hours, tables = RARE[what]
    assert compared(calm(**USUAL | tables), hours).first_different == ""


@pytest.mark.parametrize("name", ["short-bridge", "slow-wrapper", "small-crew", "two-wrappers"])
def test_the_demo_lines_are_the_ones_described(name: str) -> None:
    # Drawing the state that a run is met in is the program's own affair: here all is new.
    found = compared(load(shipped_scenarios()[name]).varied(start={"state": "new"}), HOURS)
    assert found.first_different == ""


def test_on_luck_of_its_own_it_makes_as_much() -> None:
    """The draws are judged, too: laws, chances and reels are drawn by numpy's own generators."""
    line = load(shipped_scenarios()["small-crew"]).varied(start={"state": "new"})
    theirs = np.array([ReferenceLine(line, Luck(7, n)).run(24).good for n in range(8)])
    ours = np.array(
        [
            simulate(line, hours=24, seed=7, replication=n, history=False).books.reams.good
            for n in range(24)
        ]
    )
    error = math.hypot(*(each.std(ddof=1) / math.sqrt(len(each)) for each in (ours, theirs)))
    assert error < 0.02 * ours.mean()
    assert abs(theirs.mean() - ours.mean()) < 4 * error
