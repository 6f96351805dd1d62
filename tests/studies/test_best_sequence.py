"""The best sequence of orders, against every sequence there is, run on the line."""

from __future__ import annotations

import itertools
import re
from typing import Any

import pytest

from linesim.fast import simulate
from linesim.report.answers.plan_orders import _better
from linesim.scenario import Scenario
from linesim.studies import best_sequence as searching
from linesim.studies.best_sequence import AIMS, BestSequence, Reckoning, best_sequence, mended
from linesim.studies.runner import Runner, Settings
from linesim.studies.sequences import (
    Order,
    as_written,
    by_due_date,
    change_over_minutes,
    least_change_over,
    reordered,
)
from tests.line.calm_line import calm
from tests.studies.order_lines import lively_orders

GRADES = ["white", "cream", "pink", "blue"]
MINUTES = {
    ("white", "cream"): 2,
    ("cream", "white"): 9,
    ("white", "pink"): 3,
    ("pink", "white"): 14,
    ("white", "blue"): 4,
    ("blue", "white"): 20,
    ("cream", "pink"): 1,
    ("pink", "cream"): 8,
    ("cream", "blue"): 6,
    ("blue", "cream"): 12,
    ("pink", "blue"): 7,
    ("blue", "pink"): 3,
}
"""Dark colours are easily followed by darker ones; the way back is washed out for long."""


def coloured(**due: float) -> Scenario:
    """One order of each colour, written in an awkward sequence. Nothing goes wrong."""
    orders: list[dict[str, Any]] = [
        {"name": name, "grade": name, "reams": reams}
        | ({"due_h": due[name]} if name in due else {})
        for name, reams in (("blue", 40), ("white", 60), ("pink", 100), ("cream", 80))
    ]
    pairs = [{"before": a, "after": b, "time_min": time} for (a, b), time in MINUTES.items()]
    return calm(
        grade=[{"name": name} for name in GRADES],
        order=orders,
        changeover={"people": 0},
        changeover_pair=pairs,
    )


def ways(scenario: Scenario) -> dict[str, Order]:
    return {
        "as written": as_written(scenario),
        "by due date": by_due_date(scenario),
        "by least change-over": least_change_over(scenario),
    }


def searched(scenario: Scenario, aim: str, **settings: Any) -> BestSequence:
    usual: dict[str, Any] = {"replications": 2, "hours": 2}
    with Runner(Settings(processes=1, **(usual | settings))) as runner:
        return best_sequence(scenario, runner, ways(scenario), aim)


def done_h(scenario: Scenario, order: Order) -> list[float]:
    """When each order of the sequence is done on the line, hours."""
    run = simulate(reordered(scenario, order), hours=2, history=False)
    return [each.wrapped_ns / 3600e9 for each in run.orders if each.wrapped_ns is not None]


def every(scenario: Scenario) -> list[Order]:
    return list(itertools.permutations(range(len(scenario.order))))


def test_the_soonest_end_of_all_sequences_run_on_the_line() -> None:
    """Set-ups that depend on what was before: all 24 sequences are run, and one is the best."""
    scenario = coloured()
    ends = {order: max(done_h(scenario, order)) for order in every(scenario)}
    best = min(ends, key=ends.__getitem__)
    # White, cream, blue, pink: 2 + 6 + 3; pink before blue is 2 + 1 + 7 = 10, one minute less.
    assert [scenario.order[n].name for n in best] == ["white", "cream", "pink", "blue"]
    found = searched(scenario, "finish")
    assert found.tried[0].order == best == least_change_over(scenario)
    assert (found.reckoned, found.every) == (24, True)
    assert found.tried[0].change_over_min == change_over_minutes(scenario, best) == 10
    assert found.tried[0].last_h is not None
    assert found.tried[0].last_h.mean == pytest.approx(ends[best], abs=1e-9)


def test_the_answer_says_whether_there_is_a_better_sequence_and_what_it_takes() -> None:
    scenario = coloured(blue=0.08, white=0.3, pink=0.4, cream=0.6)
    found = searched(scenario, "finish")
    better, in_hours = found.tried[0], r"[\d.]+ h"
    said = _better(found)
    numbers = ", ".join(str(n + 1) for n in better.order)
    assert re.fullmatch(rf" Better is the sequence {numbers}: .*all done {in_hours} sooner.*", said)
    assert better.late_h_against is not None
    worse = better.late_h_against.interval.mean > 0
    assert bool(re.search(rf"but .*{in_hours} more lateness in all", said)) == worse
    at_best = reordered(scenario, better.order)
    assert _better(searched(at_best, "finish")) == " No better sequence was found."


@pytest.mark.parametrize("aim", AIMS)
def test_each_aim_finds_the_best_of_all_sequences_run_on_the_line(aim: str) -> None:
    scenario = coloured(blue=0.08, white=0.3, pink=0.4, cream=0.6)
    due = [scenario.due_h(order) for order in scenario.order]

    def price(order: Order) -> float:
        late = [at - due[n] for at, n in zip(done_h(scenario, order), order, strict=True)]
        return {
            "late-orders": sum(each > 0 for each in late),
            "lateness": sum(max(each, 0) for each in late),
            "change-over": change_over_minutes(scenario, order),
            "finish": max(done_h(scenario, order)),
            "greatest-lateness": max(late),
        }[aim]

    best = min(map(price, every(scenario)))
    assert price(searched(scenario, aim).tried[0].order) == pytest.approx(best, abs=1e-9)


def reckoned_and_made(scenario: Scenario) -> list[tuple[list[float], list[float]]]:
    """When the orders of every sequence are done: as it is reckoned, and as the line makes it."""
    with Runner(Settings(processes=1, replications=2, hours=2)) as runner:
        rows = runner.outcomes({"": scenario})[""]
    reckoning = Reckoning(scenario, as_written(scenario), rows, "finish", 2)
    return [(reckoning.done_h(each), done_h(scenario, each)) for each in every(scenario)]


def with_release(scenario: Scenario, place: int, released_h: float) -> Scenario:
    orders = list(scenario.order)
    orders[place] = orders[place].model_copy(update={"released_h": released_h})
    return scenario.model_copy(update={"order": tuple(orders)})


def test_what_is_reckoned_is_what_the_line_does() -> None:
    """Up to the second with which somebody looks for an empty line."""
    for reckoned, made in reckoned_and_made(with_release(coloured(), 1, 0.45)):
        assert reckoned == pytest.approx(made, abs=4 / 3600)


def test_breaks_are_reckoned_where_they_fall() -> None:
    """Orders of one product, with a break in their midst and a wait for the release of one."""
    made = [{"name": str(reams), "reams": reams} for reams in (80, 200, 400)]
    scenario = calm(order=made, break_=[{"start_h": 0.03, "minutes": 6}])
    for reckoned, found in reckoned_and_made(with_release(scenario, 2, 0.2)):
        assert reckoned == pytest.approx(found, abs=10 / 3600)


def test_steps_find_what_all_sequences_would(monkeypatch: pytest.MonkeyPatch) -> None:
    """On this line they do; beyond so many orders the answer says that not all were reckoned."""
    monkeypatch.setattr(searching, "TRIED_ALL", 3)
    scenario = coloured(blue=0.08, white=0.3, pink=0.4, cream=0.6)
    found = searched(scenario, "lateness")
    monkeypatch.undo()
    assert not found.every
    assert found.tried[0].order == searched(scenario, "lateness").tried[0].order


def test_no_step_from_where_the_steps_end_is_better() -> None:
    scenario = coloured(blue=0.08, white=0.3, pink=0.4, cream=0.6)
    with Runner(Settings(processes=1, replications=2, hours=2)) as runner:
        rows = runner.outcomes({"": scenario})[""]
    reckoning = Reckoning(scenario, as_written(scenario), rows, "lateness", 2)
    known = mended(reckoning, [as_written(scenario)])
    best = min(known, key=known.__getitem__)
    assert all(known[best] <= reckoning.key(step) for step in searching._steps(best))


def test_the_choice_is_tried_on_runs_that_had_no_part_in_it() -> None:
    """On luck of its own each sequence is the best in a share of the runs; one at least is."""
    scenario = lively_orders()
    found = searched(scenario, "late-orders", replications=6, hours=3)
    assert found.runs == 6
    first = next(each for each in found.tried if each.order == (0, 1, 2))
    assert first.last_h_against is None
    assert sum(each.best_in.count for each in found.tried) >= 6
    others = [each for each in found.tried if each.order != (0, 1, 2)]
    assert all(each.last_h_against is not None for each in others)
    again = searched(scenario, "late-orders", replications=6, hours=3)
    assert again == found


def test_orders_that_are_not_done_are_done_never() -> None:
    found = searched(coloured(), "finish", hours=0.4)
    assert all(each.last_h is None for each in found.tried)


def test_of_sequences_equally_in_time_the_one_done_soonest_is_the_best() -> None:
    """No order has a due time; waiting for the release of pink would save a minute of change."""
    scenario = with_release(coloured(), 2, 0.9)
    chosen = searched(scenario, "late-orders").tried[0]
    ends = {order: max(done_h(scenario, order)) for order in every(scenario)}
    assert chosen.last_h is not None
    assert chosen.last_h.mean == pytest.approx(min(ends.values()), abs=1e-9)
    assert chosen.change_over_min > min(change_over_minutes(scenario, each) for each in ends)
