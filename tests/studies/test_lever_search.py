"""The search over levers, what is chosen in the end, and what is known on the way."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from linesim.fast import simulate
from linesim.money import Purchase, yearly_cost
from linesim.report.answers import Curve
from linesim.report.answers.what_to_change import what_to_change_answer
from linesim.scenario import Scenario
from linesim.scenario.units import HOUR
from linesim.studies import Runner, Settings
from linesim.studies.lever import Lever, Step
from linesim.studies.lever_choice import confirmed
from linesim.studies.lever_search import LeverSearch
from linesim.studies.outcome import Outcome, outcome_of
from linesim.studies.runner import StoppedError
from linesim.studies.what_to_change import WhatToChange, what_to_change
from tests.studies.lines import PRICED, quick_line
from tests.studies.order_lines import calm_orders


@cache
def _an_outcome() -> Outcome:
    return outcome_of(simulate(quick_line(), hours=1, seed=1))


class _Said(Runner):
    """Runs that make what ``made`` says of a line, each with luck that all lines share."""

    def __init__(
        self, made: Callable[[Scenario], float], spread: float = 0.0, seed: int = 1
    ) -> None:
        super().__init__(Settings(10, seed, 168.0))
        self._made, self._spread = made, spread

    def outcomes(
        self, variants: Mapping[str, Scenario], *, first: int = 0, **more: Any
    ) -> dict[str, tuple[Outcome, ...]]:
        count = self.replications
        found = {}
        for name, line in variants.items():
            shared = np.random.default_rng([self.settings.seed, first, 7]).normal(
                0, 3 * self._spread, count
            )
            own = np.random.default_rng([self.settings.seed, first, *name.encode()]).normal(
                0, self._spread, count
            )
            found[name] = tuple(
                replace(
                    _an_outcome(),
                    replication=first + n,
                    hours=168.0,
                    manned_hours=168.0,
                    good_reams=round(self._made(line) + shared[n] + own[n]),
                    avoidable_waste_kg=0.0,
                )
                for n in range(count)
            )
            self.made += count
        return found


def _lever(name: str, prices: list[float], field: str) -> Lever:
    """A lever that sets a field of [money] to the number of its step: it only marks the line."""

    def step(n: int) -> Step:
        return Step(
            f"{name} {n}",
            lambda line: line.varied(money={field: float(n)}),
            lambda _, years: Purchase(prices[n - 1], 0.0, 0.0, years),
        )

    return Lever("longer_bridge", name, tuple(step(n + 1) for n in range(len(prices))))


THREE = (
    _lever("a", [100_000, 250_000], "repulp_value_per_t"),
    _lever("b", [10_000, 40_000, 90_000], "paper_cost_per_t"),
    _lever("c", [0.0, 0.0], "person_cost_per_year"),
)


def _at(line: Scenario) -> tuple[int, int, int]:
    money = line.money
    return (
        round(money.repulp_value_per_t),
        round(money.paper_cost_per_t),
        round(money.person_cost_per_year),
    )


def _line() -> Scenario:
    return quick_line(contribution_per_ream=0.5, hours_per_year=8400.0, discount_rate=0.0)


def test_worth_is_the_sum_of_a_year_less_the_capital_spread_over_the_years() -> None:
    with _Said(lambda line: 100_000 + 1000 * _at(line)[1]) as runner:
        search = LeverSearch(_line(), runner, THREE, 10.0)
        search.run([search.now, (0, 2, 0)])
        # 2,000 reams a week, 50 weeks of 168 h, at 0.5; 40,000 over ten years without interest.
        assert search.value((0, 2, 0)) == pytest.approx(2000 * 50 * 0.5 - 4000)
        assert search.gain((0, 2, 0)) == pytest.approx(2000)
    assert yearly_cost(40_000, 0.0, 10.0) == pytest.approx(4000)


@pytest.mark.parametrize("seed", range(12))
def test_the_search_finds_what_all_combinations_would(seed: int) -> None:
    """Surfaces that rise to a level along each lever and are held by the least of two."""
    draws = np.random.default_rng([seed, 5])
    gains = draws.uniform(0, 4000, (3, 3)).cumsum(axis=1)
    cap = draws.uniform(2000, 9000)

    def made(line: Scenario) -> float:
        parts = [0.0 if n == 0 else gains[i][n - 1] for i, n in enumerate(_at(line))]
        return 100_000 + min(parts[0] + parts[2], cap) + min(parts[1], cap / 2)

    with _Said(made) as runner:
        search = LeverSearch(_line(), runner, THREE, 10.0)
        every = list(itertools.product(range(3), range(4), range(3)))
        search.run(
            [
                search.now,
                *(search.alone(n, i) for n, k in enumerate((2, 3, 2)) for i in range(1, k + 1)),
            ]
        )
        best = search.search()
        tried = len(search.rows)
        search.run(every)
        assert search.value(best) == pytest.approx(max(search.value(each) for each in every))
    assert tried < len(every)


SIX = (
    *THREE,
    _lever("d", [30_000], "carton_place_cost"),
    _lever("e", [30_000], "conveyor_place_cost"),
    _lever("f", [30_000], "buffer_fixed_cost"),
)


def _places(line: Scenario) -> list[int]:
    """How far each of the six is moved."""
    money = line.money
    more = (money.carton_place_cost, money.conveyor_place_cost, money.buffer_fixed_cost)
    return [*_at(line), *(round(each or 0) for each in more)]


@pytest.mark.parametrize("together", [(0, 1), (3, 4), (3, 4, 5), (0, 1, 3, 5)])
@pytest.mark.parametrize("spread", [0.0, 40.0])
def test_what_pays_only_together_is_found(together: tuple[int, ...], spread: float) -> None:
    """Stations of one speed: each alone changes nothing, and the other levers promise more."""

    def made(line: Scenario) -> float:
        at = [min(n, 1) for n in _places(line)]
        alone = sum(600 * at[n] for n in range(6) if n not in together)
        return 100_000 + alone + 8000 * min(at[n] for n in together)

    with _Said(made, spread) as runner:
        search = LeverSearch(_line(), runner, SIX, 10.0, indifference=2000.0)
        search.run([search.now, *(search.alone(n, 1) for n in range(6))])
        best = search.search()
        every = list(itertools.product(range(2), repeat=6))
        search.run(every)
        assert all(best[n] for n in together)
        most = max(search.value(each) for each in every)
        assert search.value(best) >= most - 6 * 2000


def test_no_more_is_spent_than_may_be() -> None:
    line = _line().varied(levers={"capital_limit": 120_000})
    with _Said(lambda line: 100_000 + 4000 * sum(_at(line)[:2])) as runner:
        search = LeverSearch(line, runner, THREE, 10.0)
        search.run([search.now, *(search.alone(n, 1) for n in range(3))])
        best = search.search()
    assert search.capital(best) <= 120_000
    assert best[1] == 3


def test_what_is_paid_back_soonest_is_bought_first_and_what_costs_nothing_before() -> None:
    with _Said(lambda line: 100_000 + np.dot((3000, 1000, 10), _at(line))) as runner:
        search = LeverSearch(_line(), runner, THREE, 10.0)
        search.run([search.now])
        assert search.in_order((1, 1, 1)) == [(0, 0, 0), (0, 0, 1), (0, 1, 1), (1, 1, 1)]


def test_of_what_is_as_good_the_cheapest_is_chosen_on_fresh_luck() -> None:
    """The second step of b brings 50 reams a week more, 1,250 a year, for 3,000 a year."""
    with _Said(
        lambda line: 100_000 + 3000 * min(_at(line)[1], 1) + 50 * _at(line)[1], 20.0
    ) as runner:
        search = LeverSearch(_line(), runner, THREE, 10.0, indifference=1000.0)
        search.run([search.now, *(search.alone(n, 1) for n in range(3))])
        chosen, _, fresh = confirmed(search)
    assert chosen == (0, 1, 0)
    assert {row.replication for row in fresh[chosen]}.isdisjoint(
        row.replication for row in search.rows[search.now]
    )


@pytest.mark.parametrize("seed", [2, 3])
def test_what_only_looks_as_good_is_not_chosen(seed: int) -> None:
    """The second step of b brings 200 reams a week, 5,000 a year, for 3,000: 2,000 in all.

    That is known to some 1,100 a year, so that the first step often looks as good within 1,900.
    """

    def made(line: Scenario) -> float:
        b = _at(line)[1]
        return 100_000 + 3000 * min(b, 1) + 200 * (b == 2)

    with _Said(made, 100.0, seed) as runner:
        search = LeverSearch(_line(), runner, THREE[:2], 10.0, indifference=1900.0)
        search.run([search.now, *(search.alone(1, n) for n in (1, 2, 3)), search.alone(0, 1)])
        chosen, _, _ = confirmed(search)
    assert chosen == (0, 2)


class _Stopped(_Said):
    """Told to stop after so many questions."""

    left = 10**6

    def outcomes(self, variants: Mapping[str, Scenario], **more: Any) -> Any:
        self.left -= 1
        if self.left < 0:
            self.interrupted = True
            raise StoppedError
        return super().outcomes(variants, **more)


def _both_pay(line: Scenario) -> float:
    return 100_000 + 3000 * min(_places(line)[1], 1) + 2000 * _places(line)[3]


def test_what_is_known_is_shown_on_the_way(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("linesim.studies.what_to_change.levers_of", lambda *_: SIX)
    shown: list[WhatToChange] = []
    with _Said(_both_pay, 20.0) as runner:
        found = what_to_change(_line(), runner, show=lambda known: shown.append(known()))
    # Each lever alone as it is measured, then all of them and the best so far.
    alone = [len(each.alone) for each in shown]
    assert alone[:6] == [1, 2, 3, 4, 5, 6]
    assert set(alone[6:]) == {6}
    assert not any(each.complete for each in shown)
    last = shown[-1].so_far
    assert last is not None
    assert found.so_far is None
    assert set(last.changes) >= {each.changes[-1] for each in found.way} == {"b 1", "d 1"}
    # What is told of the fresh runs adds up by itself: the first runs had other luck.
    end = found.way[-1]
    assert found.now_afresh is not None
    assert found.now_afresh.mean != found.now.mean
    assert found.now_afresh.mean + end.gain.interval.mean == pytest.approx(end.reams_per_week.mean)
    said = " ".join(what_to_change_answer(_line(), found).words)
    assert f"on which the line as it is makes {found.now_afresh.text()}." in said
    # Nobody has said how long a bridge the hall takes: that is seen to before one is bought.
    for given, shown in ({}, True), ({"longest_m": 20}, False):
        bridge = _line().bridge.model_copy(update=given)
        line = _line().model_copy(update={"bridge": bridge})
        said = " ".join(what_to_change_answer(line, found).words)
        assert ("First see whether there is room: 60 m is taken" in said) == shown


@pytest.mark.parametrize(("more", "shown"), [(100, False), (1000, True)])
def test_what_is_advised_is_the_end_of_what_money_brings(
    more: int, shown: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The third step of b is better, shown or not: where not, what costs less is said beside."""

    def made(line: Scenario) -> float:
        b = _at(line)[1]
        return 100_000 + 3000 * min(b, 1) + more * (b - 1) * (b > 1)

    levers = (_lever("b", [10_000, 11_000, 12_000], "paper_cost_per_t"),)
    monkeypatch.setattr("linesim.studies.what_to_change.levers_of", lambda *_: levers)
    with _Said(made, 300.0) as runner:
        found = what_to_change(_line(), runner, indifference=1.0)
    assert found.way[-1].purchase in [each.purchase for each in found.frontier]
    assert (found.beyond is None) == shown
    answer = what_to_change_answer(_line(), found)
    table = next(each for each in answer.tables if each.name == "frontier")
    assert [row[-1] for row in table.rows].count("not shown") == (not shown)
    assert any("not shown to pay" in words for words in answer.words) != shown
    chart = next(each for each in answer.charts if each.name == "frontier")
    assert isinstance(chart, Curve)
    assert (chart.best, chart.best_name) == (found.way[-1].purchase.capital, "advised")
    assert chart.best in [point.x for point in chart.points]
    # A part of what the line earns, of no more digits than are known of that.
    part = what_to_change_answer(_line(), replace(found, indifference=9_998.7))
    assert any("closer than 10,000 " in note for note in part.notes)


@pytest.mark.parametrize(("after", "levers", "together"), [(3, 2, False), (24, 6, True)])
def test_a_stop_keeps_what_is_known_and_says_it_is_not_confirmed(
    after: int, levers: int, together: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("linesim.studies.what_to_change.levers_of", lambda *_: SIX)
    with _Stopped(_both_pay, 20.0) as runner:
        runner.left = after
        found = what_to_change(_line(), runner)
    assert len(found.alone) == levers
    assert (found.so_far is not None) == together
    said = what_to_change_answer(_line(), found).words[0]
    assert said.startswith("So far")
    assert ("not confirmed" in said) == together
    with _Stopped(_both_pay) as runner:
        runner.left = 1
        with pytest.raises(StoppedError):
            what_to_change(_line(), runner)


class _CutOff(_Said):
    """Told to stop in the middle of a question: its last runs are missing."""

    left = 10**6

    def outcomes(self, variants: Mapping[str, Scenario], **more: Any) -> Any:
        found = super().outcomes(variants, **more)
        self.left -= 1
        if self.left > 0:
            return found
        self.interrupted = True
        return {name: rows[:-2] for name, rows in found.items()}


@pytest.mark.parametrize("after", range(2, 26))
def test_wherever_it_is_cut_off_it_says_what_is_known(
    after: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("linesim.studies.what_to_change.levers_of", lambda *_: SIX)
    with _CutOff(_both_pay, 20.0) as runner:
        runner.left = after
        found = what_to_change(_line(), runner, show=lambda known: known())
    assert runner.interrupted
    assert what_to_change_answer(_line(), found).words[0].startswith("So far")


def test_orders_count_by_the_pace_at_which_they_are_made() -> None:
    """400 reams three times in all, whatever the line: what differs is when the last is wrapped."""
    line = calm_orders()
    sooner = line.varied(changeover={"grade_min": 3, "size_min": 6})
    with Runner(Settings(2, 1, 3.0, processes=1)) as runner:
        found = LeverSearch(line, runner, (), 10.0).outcomes({"now": line, "sooner": sooner})
    now, then = found["now"][0], found["sooner"][0]
    assert now.good_reams == then.good_reams == 1200
    assert now.hours == now.orders[-1].wrapped_ns / HOUR
    # Two changes of grade, three minutes sooner each.
    assert now.hours - then.hours == pytest.approx(6 / 60, abs=1e-6)
    assert then.reams_per_week > now.reams_per_week


def test_nothing_is_advised_that_may_not_be_spent() -> None:
    levers = {"capital_limit": 0, "off": "bridge_levels, web_speed, change_together"}
    with Runner(Settings(3, 1, 2.0, processes=1)) as runner:
        line = quick_line(**PRICED).varied(levers=levers)
        found = what_to_change(line, runner)
        assert found.complete
        assert found.way == ()
        words = what_to_change_answer(line, found).words[0]
        assert words.startswith("Nothing that can be had is shown to pay.")
        alone = what_to_change(line, runner, together=False)
    assert what_to_change_answer(line, alone).words[0].startswith("So far, of each lever alone")


def test_a_real_line_is_answered_and_its_sums_add_up() -> None:
    line = quick_line(**PRICED).varied(levers={"off": "change_together, web_speed"})
    with Runner(Settings(3, 1, 2.0, processes=1)) as runner:
        found = what_to_change(line, runner)
    assert {each.key for each in found.alone} >= {"longer_bridge", "more_wrappers"}
    for each in found.way:
        assert each.worth is not None
        worth, spent = each.worth, each.purchase
        total = worth.contribution.mean + worth.waste.mean - spent.wages - spent.running_cost
        assert worth.yearly.mean == pytest.approx(total)
        # 0.5 a ream, 6,000 hours of 168 a week.
        assert worth.reams.mean == pytest.approx(each.gain.interval.mean * 6000 / 168)
    assert sum(each.step.interval.mean for each in found.way) == pytest.approx(
        found.way[-1].gain.interval.mean if found.way else 0.0
    )
