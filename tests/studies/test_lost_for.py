"""What the line lost by cause: by hand on a calm line, and to the hour on a line that is none."""

from __future__ import annotations

import pytest

import linesim
from linesim.studies.figures import LINE, RunFigures
from linesim.studies.lost_for import PACE, SLOW
from linesim.studies.replications import replicate
from tests.line.calm_line import calm, one_web, stop


def lost(scenario: linesim.Scenario, hours: float = 1) -> dict[tuple[str, str], float]:
    (run,) = replicate(scenario, hours=hours, replications=1).runs
    adds_up(run)
    found: dict[tuple[str, str], float] = {}
    for row in run.lost_for:
        key = row.station, row.cause or row.kind
        found[key] = found.get(key, 0.0) + 3600 * row.hours
    return found


def adds_up(run: RunFigures) -> None:
    steps = run.losses_h[LINE]
    gap = steps["planned busy time"] - steps["good output"] - steps["work still on the line"]
    assert sum(row.hours for row in run.lost_for) == pytest.approx(gap, abs=1e-9)


def test_an_own_stop_of_the_webs_is_lost_whole():
    # A reel lasts 1943.86 s; ten minutes later the next one runs.
    found = lost(calm())
    assert found["unwind", "reel change"] == pytest.approx(600)
    assert sum(found.values()) == pytest.approx(600, abs=1)


def test_a_wait_goes_by_the_cause_of_the_station_waited_for():
    # 20 places hold what comes in 37.5 s: of a stop of 3 min the knives stand for the rest.
    jam = stop("wrapper", "jam", every_reams={"law": "constant", "mean": 600}, restore_min=3)
    found = lost(one_web(stop=[jam], bridge={"places": 20}), hours=0.5)
    assert 130 < found["wrapper", "jam"] < 160


def test_people_who_are_waited_for_are_the_cause():
    jam = stop(
        "wrapper", "jam", every_reams={"law": "constant", "mean": 1030}, restore_min=12, people=1
    )
    alone = calm(unwind={"change_people": 1}, crew={"size": 1}, stop=[jam], bridge={"places": 8})
    (run,) = replicate(alone, hours=1, replications=1).runs
    adds_up(run)
    assert any(row.kind == "waiting for people" and row.hours > 0.05 for row in run.lost_for)


@pytest.mark.parametrize(
    "tables",
    [
        {"wrapper": [{"rate_reams_per_min": 15}]},
        {"wrapper": [{"rate_reams_per_min": 12, "name": name} for name in "AB"]},
        {"cutter": {"web_speed_m_per_min": 240, "run_up_m_per_min_per_s": 4}},
        {"break": [{"start_h": 0.2, "minutes": 6, "line": "stands"}]},
    ],
)
def test_the_rows_add_up_to_the_gap_whatever_the_line(tables):
    jam = stop("wrapper", "jam", every_reams={"law": "exponential", "mean": 150})
    (run,) = replicate(calm(stop=[jam], **tables), hours=1, replications=1).runs
    adds_up(run)
    assert not any(row.cause == "break" for row in run.lost_for)
    assert all(row.hours > 0 for row in run.lost_for)


def test_slow_running_is_what_is_left():
    ramps = calm(cutter={"web_speed_m_per_min": 240, "run_up_m_per_min_per_s": 4})
    (run,) = replicate(ramps, hours=1, replications=1).runs
    # Two starts of a minute at half the speed on average: the first, and when reels were changed.
    slow = sum(row.hours for row in run.lost_for if row.kind in (SLOW, PACE))
    assert 3600 * slow == pytest.approx(60, abs=1)
