"""The gap by cause adds up to the gap, and each cause to the ways in which it was felt."""

from __future__ import annotations

from functools import cache

import pytest

import linesim
from linesim.report import gap_bars, gap_by_cause, story
from tests.line.calm_line import one_web, stop


@cache
def runs(replications: int = 3) -> linesim.Replicated:
    jam = stop("overlap_belt", "jam", every_running_h={"law": "exponential", "mean": 0.2})
    crash = stop("cutter", "crash", every_running_h={"law": "exponential", "mean": 0.3})
    line = one_web(stop=[jam, crash])
    return linesim.studies.replicate(line, replications=replications, hours=1)


def test_causes_add_up_to_the_gap_and_ways_to_their_cause() -> None:
    causes = gap_by_cause(runs())
    assert sum(each.reams.mean for each in causes) == pytest.approx(story(runs()).gap.mean)
    for each in causes:
        assert sum(way.mean for _, way in each.ways) == pytest.approx(each.reams.mean)
    # No cause took less than nothing, however few runs had it.
    every = [each.reams for each in causes] + [way for each in causes for _, way in each.ways]
    assert any(each.half_width > each.mean for each in every)
    assert min(each.low for each in every) == 0
    means = [each.reams.mean for each in causes]
    assert means == sorted(means, reverse=True)


def test_all_that_a_cause_took_stands_together_and_leads_to_its_table() -> None:
    causes = {each.name: each for each in gap_by_cause(runs())}
    assert {causes[name].table for name in ("jam", "crash")} == {"stop"}
    tables = {group.name for group in linesim.scenario.field_groups()}
    assert {each.table for each in causes.values()} <= tables
    # One way alone is felt: the line stands.
    hours = [sum(row.hours for row in run.lost_for if row.cause == "jam") for run in runs().runs]
    rated = 60 * linesim.report.rate_bars(runs().scenario)[0].rated_reams_per_min
    assert causes["jam"].reams.mean == pytest.approx(rated * sum(hours) / len(hours))


def test_the_smallest_stand_together() -> None:
    every, few = gap_by_cause(runs()), gap_by_cause(runs(), 2)
    assert [each.name for each in few] == [every[0].name, f"{len(every) - 1} smaller causes"]
    assert few[1].reams.mean == pytest.approx(sum(each.reams.mean for each in every[1:]))
    assert few[1].table == ""


def test_one_run_has_bars_without_intervals() -> None:
    bars = gap_bars(runs(1), gap_by_cause(runs(1)))
    assert bars.plain
    assert {bar.figure.half_width for bar in bars.bars if bar.figure} == {0.0}
    assert not gap_bars(runs(), gap_by_cause(runs())).plain
