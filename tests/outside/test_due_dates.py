"""Orders with due times on a line that is one machine: what theory says of the best sequence.

The orders are of one product, so that no change parts them, and nothing goes wrong: what remains is
a single machine with processing times and due dates. The figures of the jobs are our own.

Jackson, *Scheduling a production line to minimize maximum tardiness*, Research Report 43,
University of California, Los Angeles, 1955: by due date the greatest lateness is least. Moore, *An
n job, one machine sequencing algorithm for minimizing the number of late jobs*, Management Science
15, 1968: by due date, and whenever a job would be late the longest so far is put off to the end.
"""

from __future__ import annotations

import itertools

import pytest

from linesim.fast import simulate
from linesim.scenario import Scenario
from linesim.studies.best_sequence import best_sequence
from linesim.studies.runner import Runner, Settings
from linesim.studies.sequences import Order, as_written, by_due_date, reordered
from tests.line.calm_line import SET_S, calm

UNIT_REAMS = 40
UNIT_S = UNIT_REAMS / 4 * SET_S
BEHIND_S = 7.0
"""From the last set of an order, full, to its last ream, wrapped."""

JOBS = {
    "two must be late": ([7, 9, 4, 6, 6], [9, 17, 18, 19, 21]),
    "the longest is put off": ([9, 2, 3, 4, 2], [9, 10, 11, 13, 20]),
    "all can be in time": ([4, 1, 6, 2, 3], [16, 3, 14, 5, 8]),
}
"""Processing and due times, in units."""


def line(what: str) -> Scenario:
    times, due = JOBS[what]
    return calm(
        order=[
            {
                "name": f"job {number}",
                "reams": time * UNIT_REAMS,
                "due_h": (by * UNIT_S + BEHIND_S + 0.5) / 3600,
            }
            for number, (time, by) in enumerate(zip(times, due, strict=True), 1)
        ]
    )


def lateness_h(scenario: Scenario, order: Order) -> list[float]:
    """Of each order of the sequence, as the line makes it; below 0: it is early."""
    run = simulate(reordered(scenario, order), hours=1, history=False)
    found = []
    for n, times in zip(order, run.orders, strict=True):
        due = scenario.due_h(scenario.order[n])
        assert times.wrapped_ns is not None
        assert due is not None
        found.append(times.wrapped_ns / 3600e9 - due)
    return found


def late_by_moore(times: list[int], due: list[int]) -> int:
    """The least number of late jobs, by Moore's algorithm."""
    kept: list[int] = []
    for by, time in sorted(zip(due, times, strict=True)):
        kept.append(time)
        if sum(kept) > by:
            kept.remove(max(kept))
    return len(times) - len(kept)


@pytest.mark.parametrize("what", JOBS)
def test_by_due_date_the_latest_order_is_least_late(what: str) -> None:
    scenario = line(what)
    every = itertools.permutations(range(len(scenario.order)))
    least = min(max(lateness_h(scenario, order)) for order in every)
    assert max(lateness_h(scenario, by_due_date(scenario))) == pytest.approx(least, abs=1e-9)


@pytest.mark.parametrize(("what", "late"), [*zip(JOBS, (2, 1, 0), strict=True)])
def test_the_search_has_no_more_late_orders_than_moore(what: str, late: int) -> None:
    assert late_by_moore(*JOBS[what]) == late
    scenario = line(what)
    every = itertools.permutations(range(len(scenario.order)))
    counts = [sum(each > 0 for each in lateness_h(scenario, order)) for order in every]
    assert min(counts) == late
    ways = {"as written": as_written(scenario)}
    with Runner(Settings(processes=1, replications=2, hours=1)) as runner:
        found = best_sequence(scenario, runner, ways, "late-orders")
    assert found.tried[0].late_orders is not None
    assert found.tried[0].late_orders.mean == late
