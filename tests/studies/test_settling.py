"""How long the long run is, and that nothing shorter is called so."""

from types import SimpleNamespace

import numpy as np
import pytest

from linesim.scenario import Scenario
from linesim.studies.runner import Runner, Settings
from linesim.studies.settling import (
    NotSettledError,
    find_long_run,
    in_the_long_run,
    long_run_for,
    settings_after,
)
from tests.studies.lines import textbook_line

KNIVES = {
    "cause": "knives",
    "station": "cutter",
    "every_running_h": {"law": "weibull", "mean": 100, "shape": 4},
    "restore_min": 600,
    "people": 0,
}


def slow_knives(**tables: object) -> Scenario:
    """10 h of changing after 100 h of cutting, at 8.418 reams a minute: 459.2 an hour."""
    return textbook_line(30, wrapper_rate=20).varied(stop=[KNIVES], **tables)


def test_a_shift_is_not_the_long_run_of_knives_that_last_for_days() -> None:
    line = slow_knives(start={"state": "new"})
    with Runner(Settings(replications=12, hours=8, processes=1)) as runner:
        settled = find_long_run(line, runner)
        assert settled.hours >= 300
        assert (settled.slowest, settled.slowest_h) == ("knives", 100)
        runner.settings = settings_after(runner.settings, settled)
        rows = runner.outcomes({"line": in_the_long_run(line)})["line"]
    per_hour = [row.good_reams / row.hours for row in rows]
    assert all(row.hours == settled.hours for row in rows)
    true = 8.418 * 60 * 100 / 110
    assert np.mean(per_hour) == pytest.approx(true, abs=3 * np.std(per_hour) / 12**0.5)


def test_runs_are_no_shorter_than_asked() -> None:
    assert long_run_for(slow_knives(), hours=500, replications=2, seed=1).hours >= 500


def test_a_line_that_fills_slowly_has_a_warm_up() -> None:
    """The belt takes an hour: what is counted before it is not the long run."""
    line = textbook_line(30).varied(
        bridge={"places": 5000, "length_m": 1650.0, "belt_speed_m_per_min": 27.5},
        start={"run_in_h": 0},
    )
    settled = long_run_for(line, hours=24, replications=3, seed=1)
    assert 0.9 <= settled.warm_up_h <= 3


def test_nothing_that_is_said_of_the_start_stays() -> None:
    said = slow_knives(start={"state": "new"}, reels={"at_start": "fresh"}).varied(
        stop=[KNIVES | {"since_last": 50}]
    )
    plain = in_the_long_run(said)
    assert plain.start.state == "as_found"
    assert plain.reels.at_start is None
    assert plain.stop[0].since_last is None
    assert in_the_long_run(plain) is plain


@pytest.mark.parametrize(
    ("tables", "period"),
    [
        ({"break": [{"start_h": 4, "minutes": 30}]}, 8),
        ({"calendar": {"shifts_per_day": 2}}, 24),
        ({"calendar": {"days_per_week": 5}}, 168),
        ({"planned_work": [{"name": "cleaning", "start_h": 4, "every_h": 48, "minutes": 60}]}, 48),
    ],
)
def test_each_part_of_the_runs_holds_the_calendar_whole(tables: dict, period: float) -> None:
    line = textbook_line(30).varied(**tables)
    settled = long_run_for(line, hours=1, replications=2, seed=1)
    assert settled.hours % (20 * period) == 0


class Rising:
    """A runner whose runs rise without end."""

    settings = Settings(replications=3, hours=100)

    def pilot(self, scenario: Scenario, buckets: int, runs: int, hours: float) -> list:
        self.longest = hours
        luck = np.random.default_rng(1)
        return [
            SimpleNamespace(buckets=(np.arange(buckets) + luck.normal(0, 5, buckets)).tolist())
            for _ in range(runs)
        ]


def test_what_never_settles_is_not_called_the_long_run() -> None:
    runner = Rising()
    with pytest.raises(NotSettledError, match="no long run was found: runs of 300, 600"):
        find_long_run(slow_knives(), runner)  # type: ignore[arg-type]
    assert runner.longest > 10_000


def test_orders_have_no_long_run() -> None:
    line = textbook_line(30).varied(order=[{"name": "one", "reams": 100}])
    with pytest.raises(NotSettledError, match="orders begin with the run"):
        long_run_for(line, hours=1, replications=2, seed=1)
