"""The cheapest way to an output, held against trying everything, and against sums by hand."""

from __future__ import annotations

import itertools
from types import SimpleNamespace
from typing import Any

import pytest

from linesim.fast import simulate
from linesim.questions import Question, QuestionError
from linesim.questions.asking import ask
from linesim.report.answers.meet_target import meet_target_answer
from linesim.scenario import CURRENCY, Scenario
from linesim.scenario.levers_table import LEVERS
from linesim.statistics import exact_proportion
from linesim.studies.add_wrapper import add_wrapper
from linesim.studies.levers import levers_of
from linesim.studies.meet_target import MetTarget, accepted, meet_target
from linesim.studies.runner import Runner, Settings
from tests.line.calm_line import calm, one_web, stop
from tests.studies.lines import quick_line

HOURS = 0.5
A_WEEK = 168 / HOURS
ALL_PLACES = range(4, 49)
COSTS = {"ream_place_cost": 1000.0, "discount_rate": 0.0}
BRIDGE_ALONE = tuple(each for each in LEVERS if each != "longer_bridge")
"""What is left alone where the bridge is the only lever."""


def jammed(places: int, off: tuple[str, ...] = BRIDGE_ALONE, **tables: Any) -> Scenario:
    """One web, and a wrapper that stands a minute after every 320 reams: 32 reams come meanwhile.

    It wraps 60 a minute, the knives make 32: the bridge is empty again before the next stop, and
    its length alone decides whether the knives stand.
    """
    jam = stop("wrapper", every_reams=320, restore_min=1)
    levers = {"off": ", ".join(off)}
    return one_web(bridge={"places": places}, stop=[jam], levers=levers, **tables)


@pytest.fixture(scope="module")
def made() -> dict[int, float]:
    """Reams a week with every length there is: nothing is left to luck."""
    return {
        n: simulate(jammed(n), hours=HOURS, history=False).books.reams.good * A_WEEK
        for n in ALL_PLACES
    }


def found_for(line: Scenario, asked: float, **options: Any) -> MetTarget:
    with Runner(Settings(replications=2, hours=HOURS, processes=1)) as runner:
        return meet_target(line, runner, asked, **options)


def test_it_finds_the_shortest_bridge_that_trying_all_finds(made: dict[int, float]) -> None:
    line = jammed(8, money=COSTS)
    most = max(made.values())
    for asked in ((made[8] + most) / 2, most):
        shortest = min(n for n, reams in made.items() if reams >= asked)
        found = found_for(line, asked)
        assert found.answer is not None
        assert found.answer.reaches
        (bridge,) = found.answer.changes
        assert f"{shortest} reams (now " in bridge
        assert found.answer.fixed_cost == pytest.approx(100 * (shortest - 8))
        assert found.answer.reams_per_week.mean == made[shortest]
    # By hand: all 32 reams of the minute need a place.
    assert shortest == 32


def test_no_more_is_said_of_what_it_costs_than_the_search_can_know(made: dict[int, float]) -> None:
    line = jammed(8, money={"ream_place_cost": 1234.5, "discount_rate": 0.08})
    content = meet_target_answer(line, found_for(line, max(made.values())))
    # 24 places at 1,234.5, spread over 10 years at 8 %: 4,415.4 a year.
    assert f"that costs 4,420 {CURRENCY} a year" in content.words[0]
    assert content.tables[0].rows[1][1] == 4420
    # As the tables of its money call it.
    assert str(content.tables[0].rows[1][0]).startswith("way 1: ")
    # Nobody has said how long a bridge the hall takes.
    assert "First see whether there is room: 60 m is taken" in content.words[1]


def test_just_above_what_can_be_made_is_out_of_reach(made: dict[int, float]) -> None:
    most = max(made.values())
    found = found_for(jammed(8, money=COSTS), most + 1)
    assert found.answer is not None
    assert found.answer.reaches is False
    assert found.asked - found.answer.reams_per_week.mean == pytest.approx(1)
    # By hand: 240 sets of 4 in the half hour, the last of which is still on its way.
    assert most == (240 - 1) * 4 * A_WEEK


def test_what_is_made_already_costs_nothing(made: dict[int, float]) -> None:
    found = found_for(jammed(20, money=COSTS), made[20])
    assert found.answer is not None
    assert found.answer.changes == ()
    assert found.answer.fixed_cost == 0
    assert len(found.tried) == 1


def crowded(**money: float) -> Scenario:
    """A crew of one, and two machines that stop now and then and need a person each."""
    return one_web(
        bridge={"places": 12},
        crew={"size": 1},
        stop=[
            stop("wrapper", "jam", people=1, every_reams=100, restore_min=1),
            stop("cutter", "dust", people=1, every_running_h=0.04, restore_min=2),
        ],
        levers={"off": ", ".join(each for each in BRIDGE_ALONE if each != "more_people")},
        money=money,
    )


@pytest.mark.parametrize("person_cost", [1.0, 1e6])
def test_what_is_cheaper_is_taken_first(person_cost: float) -> None:
    line = crowded(person_cost_per_year=person_cost, **COSTS)
    helped = line.varied(crew={"size": 2})
    asked = simulate(helped, hours=HOURS, history=False).books.reams.good * A_WEEK
    found = found_for(line, asked)
    assert found.answer is not None
    assert found.answer.reaches
    people = sum("more person" in each for each in found.answer.changes)
    assert (people == 1) == (person_cost == 1.0)
    cheaper = [each for each in found.tried if each.fixed_cost < found.answer.fixed_cost]
    assert cheaper
    assert not any(each.reaches for each in cheaper)


def test_a_second_wrapper_is_bought_where_no_bridge_is_long_enough() -> None:
    """A wrapper of 24 a minute for 32 that come: no bridge reaches more than it wraps."""
    prices = COSTS | {"wrapper_price": 400_000.0, "wrapper_cost_per_year": 30_000.0}
    prices |= {"contribution_per_ream": 0.4}
    line = one_web(
        bridge={"places": 12},
        wrapper=[{"name": "wrapper", "rate_reams_per_min": 24}],
        levers={"off": ", ".join(each for each in BRIDGE_ALONE if each != "more_wrappers")},
        money=prices,
    )
    now = simulate(line, hours=HOURS, history=False).books.reams.good * A_WEEK
    found = found_for(line, 1.2 * now)
    answer = found.answer
    assert answer is not None
    assert answer.reaches
    assert answer.changes == ("1 more wrapper, 2 in all",)
    # 400,000 over 10 years at no interest, and what it takes to run it.
    assert answer.fixed_cost == pytest.approx(70_000)
    assert answer.worth is not None
    more = answer.reams_per_week.mean - now
    assert answer.worth.yearly.mean == pytest.approx(more * 6000 / 168 * 0.4 - 30_000)
    with Runner(Settings(replications=2, hours=HOURS, processes=1)) as runner:
        added = add_wrapper(line, runner).options[0]
    assert added.worth is not None
    assert added.worth.yearly == answer.worth.yearly


def test_what_has_no_price_is_asked_for_last_and_said(made: dict[int, float]) -> None:
    """Either a longer bridge that has a price or a wrapper that has none would do."""
    off = tuple(each for each in BRIDGE_ALONE if each != "more_wrappers")
    asked = made[20]
    priced = found_for(jammed(8, off, money=COSTS), asked).answer
    assert priced is not None
    assert priced.unpriced == ()
    assert priced.fixed_cost == pytest.approx(1200)
    unpriced = ask(
        Question("meet-target", {"reams_per_week": asked}),
        {"": jammed(8)},
        Settings(replications=2, hours=HOURS, processes=1),
    )
    assert "20 reams" in unpriced.words[0]
    assert "has no price in the scenario" in unpriced.words[0]
    assert "not known" in {row[1] for row in unpriced.table("tried").rows}


def test_paper_left_on_cores_is_paid_for() -> None:
    # Five reels, staggered: whoever changes them all at each end throws most of the paper away.
    off = [each for each in BRIDGE_ALONE if each != "change_together"]
    line = calm(
        reels={"at_start": "staggered", "diameter_mm": 500},
        money={"paper_cost_per_t": 1000.0, **COSTS},
        unwind={"change_min": 2, "change_together_below_m": 0},
        bridge={"places": 12},
        levers={"off": ", ".join((*off, "longer_bridge"))},
    )
    with Runner(Settings(replications=2, hours=1.0, processes=1)) as runner:
        now = runner.outcomes({"": line})[""][0].reams_per_week
        found = meet_target(line, runner, now + 1)
    assert found.answer is not None
    assert found.answer.reaches
    assert any("changed together below" in each for each in found.answer.changes)
    assert found.answer.paper_cost is not None
    assert found.answer.paper_cost.mean > 0


def test_reels_change_together_where_they_can_and_below_round_shares_of_a_reel() -> None:
    def below(line: Scenario) -> list[str]:
        levers = {each.key: each for each in levers_of(line)}
        steps = levers["change_together"].steps if "change_together" in levers else ()
        return [step.words for step in steps]

    assert below(one_web()) == []
    assert below(calm(unwind={"change": "flying_splice", "stands_per_web": 2})) == []
    # Shares of a reel of 7,775 m, to two digits.
    line = calm(unwind={"change_together_below_m": 0})
    shares = ("390", "780", "1,600")
    assert below(line) == [f"reels changed together below {each} m" for each in shares]


def test_from_the_dearest_down_until_one_fails() -> None:
    def of(*reaching: bool | None) -> Any:
        steps: Any = tuple(SimpleNamespace(reaches=each, n=n) for n, each in enumerate(reaching))
        found = accepted(steps)
        return None if found is None else (found.n, found.reaches)  # type: ignore[attr-defined]

    assert of(None, True, True) == (1, True)
    # What holds below one that fails was lucky once among several.
    assert of(True, None, True) == (2, True)
    assert of(True, True, False) == (2, False)
    assert of() is None


def test_the_answer_rests_on_luck_that_chose_nothing() -> None:
    line = quick_line().varied(levers={"off": ", ".join(BRIDGE_ALONE)})
    with Runner(Settings(replications=3, hours=0.5, processes=1)) as runner:
        now = runner.outcomes({"": line})[""]
        asked = sum(each.reams_per_week for each in now) / 3
        found = meet_target(line, runner, asked)
        answer = found.answer
        assert answer is not None
        longer = {step.words: step.change for each in levers_of(line) for step in each.steps}
        there = [longer[each](line) for each in answer.changes if each in longer] or [line]
        fresh = runner.outcomes({"": there[0]}, first=3)[""]
    assert [each.replication for each in fresh] == [3, 4, 5]
    if len(answer.changes) == len([each for each in answer.changes if each in longer]):
        reams = [each.reams_per_week for each in fresh]
        assert answer.reams_per_week.mean == pytest.approx(sum(reams) / 3)
        assert answer.weeks_that_reach == exact_proportion(sum(r >= asked for r in reams), 3)


def test_a_stopped_search_says_what_it_has() -> None:
    calls = itertools.count()
    answer = ask(
        Question("meet-target", {"reams_per_week": 1e7}),
        {"": quick_line()},
        Settings(replications=2, hours=0.25, processes=1),
        stop=lambda: next(calls) >= 6,
    )
    assert answer.facts["stopped_early"] is True
    assert "The search is not complete" in answer.words[0]
    assert answer.tables[0].rows


def test_an_output_must_be_asked_for() -> None:
    with pytest.raises(QuestionError, match="say how many good reams a week"):
        ask(Question("meet-target"), {"": quick_line()}, Settings(replications=2, hours=0.25))
    with pytest.raises(ValueError, match="certainty_percent"):
        Question("meet-target", {"reams_per_week": 1, "certainty_percent": 100})


def test_a_longer_bridge_has_its_article_in_a_sentence(made: dict[int, float]) -> None:
    line = jammed(8, money=COSTS)
    found = found_for(line, max(made.values()))
    assert " with a bridge of " in meet_target_answer(line, found).words[0]
    # A row of a table names it as a part list does.
    assert found.answer is not None
    assert found.answer.changes[0].startswith("bridge of ")
