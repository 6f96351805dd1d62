"""A faster sheeter that makes fewer reams: said where the runs show why, and only there."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from linesim.report.answers.compare import compare_words
from linesim.report.answers.vary import vary_words
from linesim.report.answers.what_holds import holds_words
from linesim.scenario import Scenario
from linesim.studies.compare import compare
from linesim.studies.runner import Runner, Settings
from linesim.studies.vary import read_span, vary
from linesim.studies.what_holds import what_holds
from tests.line.calm_line import calm, stop


def held_by_level(cuts_after_stop: int) -> Scenario:
    """The wrapper takes 30 of 32 reams a minute; stopped at 8 on the bridge, let go at none."""
    jam = {"every_reams": {"law": "exponential", "mean": 300}, "restore_min": 1}
    return calm(
        bridge={"stop_at_reams": 8, "restart_at_reams": 0},
        wrapper=[{"rate_reams_per_min": 30}],
        gate={"cuts_after_stop": cuts_after_stop},
        reels={"diameter_mm": 2000},
        stop=[stop("wrapper", "jam", **jam)],
    )


@pytest.fixture
def runner() -> Iterator[Runner]:
    with Runner(Settings(replications=4, hours=4, processes=1)) as ready:
        yield ready


def test_a_curve_says_what_speed_costs_at_the_starts(runner: Runner) -> None:
    line = held_by_level(60)
    found = vary(line, runner, [read_span(line, "cutter.web_speed_m_per_min=240,300,360")])
    assert found.best.values == (240,)
    assert found.too_fast is not None
    point, cost = found.too_fast
    assert point.values == (360,)
    assert cost.starts is not None
    # Every start costs its 60 cuts: 2.4 reams of 25 cuts.
    assert cost.rejects.interval.mean == pytest.approx(2.4 * cost.starts.interval.mean)
    said = " ".join(vary_words(line, found))
    faster = "The line with “cutter: web speed” at 360 m/min has the faster sheeter"
    assert faster in said
    assert "more times a week" in said


def test_other_answers_that_speak_of_speed_say_it_too(runner: Runner) -> None:
    slow = held_by_level(60)
    fast = slow.varied(cutter={"web_speed_m_per_min": 300})
    for lines in ({"slow": slow, "fast": fast}, {"fast": fast, "slow": slow}):
        words = " ".join(compare_words(compare(lines, runner), lines))
        assert "fast has the faster sheeter and makes fewer reams than slow" in words
        assert words.count("The two differ in cutter.") == 1
    holds = what_holds(slow, runner, step=0.2)
    assert "its sheeter 20 % faster" in " ".join(holds_words(slow, holds))


def test_nothing_is_said_where_starts_cost_nothing(runner: Runner) -> None:
    line = held_by_level(0)
    found = vary(line, runner, [read_span(line, "cutter.web_speed_m_per_min=240,360")])
    assert found.too_fast is None
