"""When orders are done, worked out by hand where nothing goes wrong, and what luck adds."""

from __future__ import annotations

import itertools

import pytest

from linesim.questions import Question
from linesim.questions.asking import ask
from linesim.scenario import check_mapping
from linesim.scenario.goods import goods_of
from linesim.statistics import Proportion, exact_proportion
from linesim.studies.promise import Promise, promise
from linesim.studies.runner import Runner, Settings
from linesim.studies.sequences import (
    SequenceError,
    as_written,
    by_due_date,
    change_over_minutes,
    hours_to_be_safe,
    least_change_over,
    minutes_between,
    rated_hours,
    read_sequence,
)
from tests.line.calm_line import calm
from tests.studies.order_lines import LONG, THIN, calm_orders, lively_orders


def promised(scenario, sequences, *, find_hours=True, **settings) -> Promise:
    with Runner(Settings(processes=1, **{"replications": 2} | settings)) as runner:
        return promise(scenario, runner, sequences, find_hours=find_hours)


def test_a_calm_line_keeps_to_the_sum() -> None:
    """100 sets of 7.5 s, last ream 7 s behind: 0.2103 h; then 6 min and the same again, twice.

    The order "last" is due after 0.5 h and done after 0.8308 h, or, by due date, 0.4206 h.
    """
    scenario = calm_orders()
    assert by_due_date(scenario) == (0, 2, 1)
    found = promised(scenario, {"as written": (0, 1, 2), "by due date": (0, 2, 1)})
    done = [order.done_h[1].value for order in found.orders]
    assert done == pytest.approx([757 / 3600, 1874 / 3600, 2991 / 3600], abs=1e-4)
    late = [order.late.count if order.late else None for order in found.orders]
    assert late == [0, 0, 2]
    first, second = found.sequences
    assert first.late_h is not None
    assert second.late_h_against is not None
    assert second.last_h_against is not None
    assert first.late_h.mean == pytest.approx(2991 / 3600 - 0.5, abs=1e-4)
    assert second.late_h_against.interval.mean == pytest.approx(-(2991 / 3600 - 0.5), abs=1e-4)
    # One change-over less, and one time less that the line runs empty for it.
    assert second.last_h_against.interval.mean == pytest.approx(-367 / 3600, abs=1e-4)
    assert (first.change_over_min, second.change_over_min) == (12.0, 6.0)


def test_reels_and_part_reels_by_grade_and_day() -> None:
    """A stand of five; each change of grade puts five new ones on and takes five part reels off."""
    found = promised(calm_orders(), {"as written": (0, 1, 2)})
    thick, thin = found.paper
    assert (thick.grammage_g_per_m2, thin.grammage_g_per_m2) == (80, 70)
    assert (thick.reels.mean.mean, thick.back.mean) == (10, 5)
    assert (thin.reels.mean.mean, thin.back.mean) == (5, 5)
    assert thick.first_h.value == 0
    # Cut after 750 s, done after 757 s, changed by 1117 s.
    assert thin.first_h.value == pytest.approx(1117 / 3600, abs=1e-4)
    assert list(thin.reels_by_day) == [1]
    assert thin.tonnes.mean > thin.back_tonnes.mean > 0


def test_luck_spreads_the_ends_and_sequences_meet_the_same_luck() -> None:
    found = promised(
        lively_orders(),
        {"a": (0, 1, 2), "b": (0, 2, 1)},
        find_hours=False,
        replications=36,
        hours=4,
    )
    for order in found.orders:
        low, half, high = order.done_h
        assert low.value is not None
        assert half.value is not None
        assert high.value is not None
        assert low.value <= half.value < high.value
        assert high.low is not None
        assert high.high is not None
        assert high.low <= high.value <= high.high
        assert order.late is not None
        assert order.late.low <= order.late.value <= order.late.high
    against = found.sequences[1].last_h_against
    assert against is not None
    assert against.shown
    assert against.interval.mean < 0
    assert against.narrowing > 1


def test_runs_that_end_too_early_say_so_and_are_made_longer_where_asked() -> None:
    short = promised(calm_orders(), {"as written": (0, 1, 2)}, find_hours=False, hours=0.6)
    assert [order.unfinished for order in short.orders] == [0, 0, 2]
    assert short.orders[2].done_h[1].value is None
    # Not done within 0.6 h is late where due after 0.5 h; due after 2 h nobody can tell.
    assert short.orders[2].late is not None
    assert short.orders[2].late.count == 2
    assert short.orders[1].late is not None
    assert short.sequences[0].last_h is None
    assert short.sequences[0].late_h is None
    assert short.hours == 0.6
    later = calm_orders(order=[{"name": "only", "reams": 4000, "due_h": 2}])
    unknown = promised(later, {"as written": (0,)}, find_hours=False, hours=0.6)
    assert unknown.orders[0].late is None


def test_a_calendar_in_the_way_makes_runs_longer_before_they_are_made() -> None:
    """One shift of 2 h a day and a holiday: 13 h of work and the reel changes take ten days."""
    scenario = calm_orders(
        line={"shift_hours": 2},
        calendar={"shifts_per_day": 1},
        holiday=[{"name": "feast", "day": 2}],
        order=[{"name": "long", "reams": 25_000}],
    )
    hours = hours_to_be_safe(scenario, (0,))
    assert rated_hours(scenario, goods_of(scenario), 25_000) == pytest.approx(13.02, abs=0.01)
    assert hours > 24 * 13
    found = promised(scenario, {"as written": (0,)})
    assert found.hours == hours
    assert found.orders[0].unfinished == 0
    # 187.5 km of web take 24 changes of all reels of 10 min: 17.02 h, or somewhat less by the
    # calendar, since a change under way is finished after the shift. Day 2 is free, so the ninth
    # shift is that of day 10.
    half = found.orders[0].done_h[1].value
    assert half is not None
    assert 24 * 9 < half < 24 * 9 + 1.03


def test_without_due_times_nothing_is_late() -> None:
    scenario = calm_orders(order=[{"name": "a", "reams": 40}, {"name": "b", "reams": 40}])
    found = promised(scenario, {"as written": (0, 1)})
    assert all(order.late is None for order in found.orders)
    assert found.sequences[0].late_h is None
    assert found.sequences[0].last_h is not None


def test_a_line_without_orders_promises_nothing() -> None:
    with pytest.raises(ValueError, match="no \\[\\[order\\]\\]"):
        promised(calm(), {})


def test_minutes_between_orders_by_what_changes() -> None:
    scenario = calm_orders(
        order=[
            {"name": "plain", "reams": 40},
            {"name": "thin", "reams": 40, **THIN},
            {"name": "lanes", "reams": 40, "lanes": 3},
            {"name": "long and thin", "reams": 40, **LONG, **THIN},
        ],
        changeover={
            "grade_min": 6,
            "size_min": 12,
            "lanes_min": 8,
            "grade_with_size": "afterwards",
            "people": 0,
        },
    )
    plain, thin, lanes, both = (goods_of(scenario, order) for order in scenario.order)
    assert minutes_between(scenario, plain, plain) == 0
    assert minutes_between(scenario, plain, thin) == 6
    assert minutes_between(scenario, plain, lanes) == 8
    assert minutes_between(scenario, thin, lanes) == 8 + 6
    assert minutes_between(scenario, plain, both) == 12 + 6
    assert minutes_between(scenario, thin, both) == 12


def many_orders(kinds: int):
    """Grades and sizes in turn, as inconvenient as can be."""
    return calm_orders(
        order=[
            {
                "name": f"order {n}",
                "reams": 40,
                "thickness_um": 80 + 5 * (n % 3),
                "sheet_length_mm": 300 if n % 2 else 450 + 10 * (n // 6),
                "due_h": 1 + n,
            }
            for n in range(kinds)
        ]
    )


def test_the_least_change_over_is_least_of_all_sequences() -> None:
    scenario = many_orders(6)
    best = least_change_over(scenario)
    every = [change_over_minutes(scenario, way) for way in itertools.permutations(range(6))]
    assert change_over_minutes(scenario, best) == min(every)
    assert change_over_minutes(scenario, as_written(scenario)) > min(every)


def test_orders_of_the_same_goods_stay_together_by_due_date() -> None:
    orders = [
        {"name": "a", "reams": 40, "due_h": 9},
        {"name": "b", "reams": 40, **THIN},
        {"name": "c", "reams": 40, "due_h": 3},
    ]
    assert least_change_over(calm_orders(order=orders)) == (2, 0, 1)


def test_many_kinds_are_grown_and_mended() -> None:
    scenario = many_orders(16)
    best = least_change_over(scenario)
    assert sorted(best) == list(range(16))
    assert change_over_minutes(scenario, best) < change_over_minutes(scenario, as_written(scenario))


def test_a_sequence_is_read_and_checked() -> None:
    scenario = calm_orders()
    assert read_sequence(scenario, "3, 1,2") == (2, 0, 1)
    for wrong in ("1,2", "1,2,2", "0,1,2", "a,b,c", ""):
        with pytest.raises(SequenceError, match="each number from 1 to 3 once"):
            read_sequence(scenario, wrong)


def test_what_is_not_known_is_told_apart_in_dates_and_supplies() -> None:
    """How long the change-overs take is not known, or whether the jams are rare."""
    doubts = {"of": "grade_min", "between": [5.0, 7.2]}
    data = lively_orders().model_dump(by_alias=True, exclude_unset=True)
    data["changeover"] |= {"grade_min": 6, "doubt": [doubts]}
    lines = check_mapping(data), check_mapping(data | {"stop": []})
    with_luck, without = (
        ask(Question("plan-orders"), {"": line}, Settings(processes=1, replications=8))
        for line in lines
    )
    found, sure = with_luck.found, without.found
    assert found.crossed
    assert 0 < found.not_known < 1
    assert sure.not_known == pytest.approx(1, abs=0.05)
    last = found.sequences[0].last_h
    assert last.doubt > 0
    assert found.paper[0].reels.mean.n == 2 * found.runs // 4
    said = f"{100 * found.not_known:.0f} % is what is not known of the line"
    assert said in with_luck.words[0]
    late = found.orders[0].late
    assert late is not None
    assert (late.low, late.high) == _ends(exact_proportion(late.count, late.n, crossed=True))


def test_without_doubt_runs_are_independent_and_nothing_is_said_of_it() -> None:
    answer = ask(
        Question("plan-orders"), {"": lively_orders()}, Settings(processes=1, replications=4)
    )
    assert answer.found.not_known is None
    assert "not known" not in " ".join((*answer.words, *answer.notes))
    late = answer.found.orders[0].late
    assert (late.low, late.high) == _ends(exact_proportion(late.count, late.n))


def _ends(found: Proportion) -> tuple[float, float]:
    return found.low, found.high
