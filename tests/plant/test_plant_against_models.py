"""The invented plant's own counts and log, held against its hidden line and against the demo."""

from __future__ import annotations

import datetime as dt

from linesim.plant.causes_matched import logged_stops
from linesim.plant.production import read_counts
from linesim.plant.validate import Validation, validate
from linesim.scenario import Scenario, load
from linesim.studies.runner import Runner, Settings
from tests.plant.logs import read_stop_log
from tests.plant.make_plant import CLONE, FOLDER, hidden_plant


def held_against(scenario: Scenario) -> Validation:
    """The second week of the plant against a few short runs."""
    log = read_stop_log(FOLDER / "stop-log.csv")
    with Runner(Settings(replications=3, hours=16, processes=1)) as runner:
        return validate(
            scenario,
            runner,
            read_counts(FOLDER / "production.csv").shifts,
            since=dt.datetime(2026, 3, 9),
            log=logged_stops(log.stops, scenario),
        )


def test_the_hidden_line_is_not_spoken_against_and_the_demo_s_stops_are() -> None:
    """The plant's stops at wrapper and outfeed are others than the demo's; few runs show it."""
    own = held_against(hidden_plant())
    assert own.matches
    assert own.totals is not None
    assert own.totals.predicted.low < own.totals.actual < own.totals.predicted.high
    assert own.stops is not None
    assert own.stops.first_off is None
    other = held_against(load(CLONE / "scenarios" / "short-bridge.toml"))
    assert other.stops is not None
    assert other.totals is not None
    assert other.totals.predicted.mean > 1.03 * other.totals.actual
    first = other.stops.first_off
    assert first is not None
    assert (first.station, first.cause) == ("wrapper", "wrapper jam")
