"""Machine interference where not everybody can mend everything, on the line's own wrappers."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from linesim.record import Record, State
from tests.outside.test_loss_and_crew_on_the_line import many_runs, stop
from tests.theory import formulas as theory

FAILS_PER_H, MENDED_PER_H = 0.1, 1.0


def wrappers(*names: str) -> Any:
    """A ream takes so long to wrap that the wrappers never wait for one."""
    return [{"name": name, "wrap_s": 3_600_000} for name in names]


def hours(record: Record, names: tuple[str, ...], *states: State) -> float:
    return sum(record.hours_in(record.station(name), each) for name in names for each in states)


def test_each_group_with_machines_of_its_own(line: Any, estimated: Any) -> None:
    """Two fitters with three machines, M/M/2//3, beside one with five, M/M/1//5, lambda 0.1 and
    mu 1 an hour: each group as if the other were not there. Palm (1947); Peck and Hazelwood
    (1958), tables (memory).
    """
    three, five = ("a", "b", "c"), ("d", "e", "f", "g", "h")
    records = many_runs(
        line(
            bridge={"places": 5},
            wrapper=wrappers(*three, *five),
            stop=[stop("wrapper", 600, 60, people=1)],
            crew={"size": 0},
            crew_group=[
                {"name": "three", "number": 2, "can": ", ".join(three)},
                {"name": "five", "can": ", ".join(five)},
            ],
        ),
        runs=20,
        hours=3300,
        seed=63,
        warm_up_h=100,
    )
    for names, repairers in ((three, 2), (five, 1)):
        truth = theory.machine_interference(len(names), FAILS_PER_H, MENDED_PER_H, repairers)
        down = [hours(r, names, State.DOWN) / r.hours for r in records]
        waiting = [hours(r, names, State.WAITING_PEOPLE) / r.hours for r in records]
        running = [hours(r, names, State.RUNNING) / r.hours for r in records]
        # Hours down less their expected number for the hours running: of mean 0.
        known = [d - up * FAILS_PER_H / MENDED_PER_H for d, up in zip(down, running, strict=True)]
        stands = [d + w for d, w in zip(down, waiting, strict=True)]
        estimated(stands, known).must_be(truth.machines_down, within=0.02)
    five_wait = theory.machine_interference(5, FAILS_PER_H, MENDED_PER_H).machines_waiting
    assert np.mean(waiting) == pytest.approx(five_wait, rel=0.05)


def mixed() -> tuple[float, float]:
    """Mean number of machines down, of two of kind a and of one of kind b.

    One fitter can mend a alone, one both; who can do less goes first, and nobody is taken off a
    machine. States of the Markov chain: how many a are down, whether b is, and what the second
    fitter is at ("", "a" or "b"); the first is at an a where one is down that the second is not at.
    Balance equations solved here.
    """
    fails, mended = 0.5, 1.0
    rates: dict[tuple[Any, Any], float] = {}

    def go(start: Any, end: Any, rate: float) -> None:
        rates[start, end] = rates.get((start, end), 0.0) + rate

    todo, seen = [(0, 0, "")], {(0, 0, "")}
    while todo:
        start = a, b, at = todo.pop()
        first = a - (at == "a") > 0
        waits = a - (at == "a") - first
        if a < 2:
            helps = first and at == ""
            go(start, (a + 1, b, "a" if helps else at), (2 - a) * fails)
        if not b:
            go(start, (a, 1, "b" if at == "" else at), fails)
        if first:
            go(start, (a - 1, b, at), mended)
        if at == "a":
            go(start, (a - 1, b, "b" if b else ""), mended)
        if at == "b":
            go(start, (a, 0, "a" if waits else ""), mended)
        new = {end for begins, end in rates if begins == start} - seen
        seen |= new
        todo += new
    states = sorted(seen)
    flow = np.zeros((len(states), len(states)))
    for (start, end), rate in rates.items():
        flow[states.index(start), states.index(end)] += rate
        flow[states.index(start), states.index(start)] -= rate
    balance = np.vstack([flow.T, np.ones(len(states))])
    chances = np.linalg.lstsq(balance, np.append(np.zeros(len(states)), 1.0), rcond=None)[0]
    return (
        float(sum(p * state[0] for p, state in zip(chances, states, strict=True))),
        float(sum(p * state[1] for p, state in zip(chances, states, strict=True))),
    )


def test_one_who_can_do_both_and_one_who_cannot(line: Any, estimated: Any) -> None:
    """A Markov chain of two machines of one kind and one of another, solved in the test."""
    down_a, down_b = mixed()
    records = many_runs(
        line(
            bridge={"places": 5},
            wrapper=wrappers("a1", "a2", "b"),
            stop=[stop("wrapper", 120, 60, people=1)],
            crew={"size": 0},
            crew_group=[
                {"name": "both", "can": "a1, a2, b"},
                {"name": "a alone", "can": "a1, a2"},
            ],
        ),
        runs=20,
        hours=3300,
        seed=64,
        warm_up_h=100,
    )
    stands = State.DOWN, State.WAITING_PEOPLE
    for names, truth in ((("a1", "a2"), down_a), (("b",), down_b)):
        share = [hours(r, names, *stands) / r.hours for r in records]
        estimated(share).must_be(truth, within=0.02)
    # Were each bound to one kind, or both all-round, it would be more than the test lets pass.
    assert theory.machine_interference(2, 0.5, 1.0, 1).machines_down > 1.1 * down_a
    assert theory.machine_interference(3, 0.5, 1.0, 2).machines_down / 3 < 0.97 * down_b
