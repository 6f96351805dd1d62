"""A strip that shows a run of two hours, and where things stand on it."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPoint
from pytestqt.qtbot import QtBot

import linesim
from gui.shift import ShownShift
from gui.strip import StripView
from gui.strip.rows import Row
from linesim.record import Record

HOURS = 2
MINUTE = 60 * 10**9


@pytest.fixture(scope="module")
def record() -> Record:
    return linesim.fast.simulate(
        linesim.scenario.load(linesim.scenario.find_scenario("short-bridge")), hours=HOURS
    )


@pytest.fixture(scope="module")
def ghost() -> Record:
    scenario = linesim.scenario.load(linesim.scenario.find_scenario("short-bridge"))
    wider = scenario.bridge.model_copy(update={"length_m": 30.0})
    return linesim.fast.simulate(scenario.model_copy(update={"bridge": wider}), hours=HOURS)


@pytest.fixture
def shown(record: Record) -> ShownShift:
    model = ShownShift()
    model.show(record)
    return model


@pytest.fixture
def view(qtbot: QtBot, shown: ShownShift) -> StripView:
    made = StripView(shown)
    made.resize(1280, 700)
    qtbot.addWidget(made)
    made.show()
    qtbot.waitExposed(made)
    return made


def lane_row(view: StripView, title: str) -> Row:
    return next(r for r in view.canvas.rows if r.lane and r.lane.title == title)


def place(view: StripView, title: str, t_ns: int) -> QPoint:
    row = lane_row(view, title)
    return QPoint(round(view.canvas.x_of(t_ns)), row.top + row.height // 2)


def longest(record: Record, station: str) -> linesim.record.StopEvent:
    number = record.station(station)
    return max(
        (e for e in linesim.record.stop_events(record) if e.station == number),
        key=lambda e: e.length_ns,
    )
