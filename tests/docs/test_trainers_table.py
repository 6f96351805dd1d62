"""The stops that a trainer is told to try do what the table beside them says."""

from __future__ import annotations

import re

import pytest

from linesim.fast import simulate
from linesim.record import Record, disturbance
from linesim.report import disturbance_words
from linesim.scenario import ForcedStop, find_scenario, load
from tests.docs.pages import chapter

ROW = re.compile(r"\| (\w+), (\d+) min \| (\w+) \| ([^|]+) \| ([^|]+) \| (\d+) \|")
ROWS = ROW.findall(chapter("trainer").read_text(encoding="utf-8"))


def shift(*forced: ForcedStop) -> Record:
    """The shift that the window opens with."""
    line = load(find_scenario("short-bridge"))
    return simulate(line, hours=line.line.shift_hours, seed=1, replication=0, forced=forced)


@pytest.fixture(scope="module")
def undisturbed() -> Record:
    return shift()


def test_there_are_stops_to_try():
    assert len(ROWS) == 4


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row[0]} {row[1]} min")
def test_a_stop_of_the_table_does_what_it_says(row: tuple[str, ...], undisturbed: Record):
    station, minutes, reached, after, waited, lost = row
    stop = ForcedStop(station=station, at_h=2, minutes=float(minutes))
    stopped = shift(stop)
    found = disturbance(undisturbed, stopped, stop)
    said = disturbance_words(stopped, found)
    assert any(
        f" {reached} " in each and each.endswith(f" {after} later, for {waited} in all.")
        for each in said
    )
    assert found.undisturbed_good_reams - found.disturbed_good_reams == int(lost)
