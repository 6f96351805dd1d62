"""The cheapest way to an output, held against trying everything, and against sums by hand."""

from __future__ import annotations

import itertools
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from linesim.fast import simulate
from linesim.questions import Question, QuestionError
from linesim.questions.asking import ask
from linesim.questions.from_file import answer_from_file
from linesim.report.answers import answer_json
from linesim.scenario import Scenario
from linesim.statistics import exact_proportion
from linesim.studies.add_wrapper import add_wrapper
from linesim.studies.bridge_levels import Levels, present_levels
from linesim.studies.changes import with_bridge
from linesim.studies.meet_target import MetTarget, accepted, meet_target
from linesim.studies.outcome import Outcome
from linesim.studies.runner import Runner, Settings
from linesim.studies.target_settings import (
    Prices,
    Setting,
    moved_to,
    present_setting,
    scenario_with,
    together_to_try,
)
from tests.line.calm_line import calm, one_web, stop
from tests.studies.lines import quick_line

HOURS = 0.5
A_WEEK = 168 / HOURS
ALL_PLACES = range(4, 49)
COSTS = {"ream_place_cost": 1000.0, "discount_rate": 0.0}


def jammed(places: int, **tables: Any) -> Scenario:
    """One web, and a wrapper that stands a minute after every 320 reams: 32 reams come meanwhile.

    It wraps 60 a minute, the knives make 32: the bridge is empty again before the next stop, and
    its length alone decides whether the knives stand.
    """
    jam = stop("wrapper", every_reams=320, restore_min=1)
    return one_web(bridge={"places": places}, stop=[jam], **tables)


@pytest.fixture(scope="module")
def made() -> dict[int, float]:
    """Reams a week with every length there is: nothing is left to luck."""
    return {
        n: simulate(jammed(n), hours=HOURS, history=False).books.reams.good * A_WEEK
        for n in ALL_PLACES
    }


def found_for(line: Scenario, asked: float, **options: Any) -> MetTarget:
    given: dict[str, Any] = {"places": (4, 20, 48), "more_people": 0} | options
    with Runner(Settings(replications=2, hours=HOURS, processes=1)) as runner:
        return meet_target(line, runner, asked, **given)


def test_it_finds_the_shortest_bridge_that_trying_all_finds(made: dict[int, float]) -> None:
    most = max(made.values())
    for asked in ((made[4] + most) / 2, most):
        shortest = min(n for n, reams in made.items() if reams >= asked)
        found = found_for(jammed(4, money=COSTS), asked)
        assert found.answer is not None
        assert found.answer.reaches
        assert found.answer.setting.places == shortest
        assert found.answer.fixed_cost == pytest.approx(100 * (shortest - 4))
        assert found.answer.reams_per_week.mean == made[shortest]
    # By hand: all 32 reams of the minute need a place.
    assert shortest == 32


def test_just_above_what_can_be_made_is_out_of_reach(made: dict[int, float]) -> None:
    most = max(made.values())
    found = found_for(jammed(4, money=COSTS), most + 1)
    assert found.answer is not None
    assert found.answer.reaches is False
    assert found.asked - found.answer.reams_per_week.mean == pytest.approx(1)
    # Said at once: the lengths between were not walked through.
    assert {each.setting.places for each in found.tried} == {4, 48}
    # By hand: 240 sets of 4 in the half hour, the last of which is still on its way.
    assert most == (240 - 1) * 4 * A_WEEK


def test_what_is_made_already_costs_nothing(made: dict[int, float]) -> None:
    found = found_for(jammed(20, money=COSTS), made[20])
    assert found.answer is not None
    assert found.answer.setting == found.present.setting
    assert found.answer.fixed_cost == 0
    assert {each.setting.levels for each in found.tried} == {Levels(None, None, None)}


def test_a_list_names_what_can_be_had(made: dict[int, float]) -> None:
    found = found_for(jammed(4, money=COSTS), made[4] + 1, fill=False)
    assert found.answer is not None
    assert found.answer.setting.places == 20


def crowded(**money: float) -> Scenario:
    """A crew of one, and two machines that stop now and then and need a person each."""
    return one_web(
        bridge={"places": 12},
        crew={"size": 1},
        stop=[
            stop("wrapper", "jam", people=1, every_reams=100, restore_min=1),
            stop("cutter", "dust", people=1, every_running_h=0.04, restore_min=2),
        ],
        money=money,
    )


@pytest.mark.parametrize("person_cost", [1.0, 1e6])
def test_what_is_cheaper_is_taken_first(person_cost: float) -> None:
    line = crowded(ream_place_cost=1000.0, discount_rate=0.0)
    helped = scenario_with(line, present_setting(line)._replace(crew=2))
    asked = simulate(helped, hours=HOURS, history=False).books.reams.good * A_WEEK
    found = found_for(line, asked, places=(12, 60), more_people=1, person_cost=person_cost)
    assert found.answer is not None
    assert found.answer.reaches
    added = (found.answer.setting.places - 12, found.answer.setting.crew - 1)
    assert (added[1] == 1) == (person_cost == 1.0)
    assert found.answer.fixed_cost == pytest.approx(100 * added[0] + person_cost * added[1])
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
        money=prices,
    )
    now = simulate(line, hours=HOURS, history=False).books.reams.good * A_WEEK
    found = found_for(line, 1.2 * now, places=(12, 30, 60))
    answer = found.answer
    assert answer is not None
    assert answer.reaches
    assert (answer.setting.places, answer.setting.wrappers) == (12, 2)
    # 400,000 over 10 years at no interest, and what it takes to run it.
    assert answer.fixed_cost == pytest.approx(70_000)
    assert answer.worth is not None
    more = answer.reams_per_week.mean - now
    assert answer.worth.yearly.mean == pytest.approx(more * 6000 / 168 * 0.4 - 30_000)
    with Runner(Settings(replications=2, hours=HOURS, processes=1)) as runner:
        added = add_wrapper(line, runner).options[0]
    assert added.worth is not None
    assert added.worth.yearly == answer.worth.yearly
    # Where the longest bridge falls short, no shorter one is tried.
    assert {each.setting.places for each in found.tried if each.setting.wrappers == 1} == {12, 60}
    unpriced = found_for(line.varied(money={"wrapper_price": 0.0}), 1.2 * now, places=(12, 60))
    assert {each.setting.wrappers for each in unpriced.tried} == {1}
    assert unpriced.answer is not None
    assert unpriced.answer.reaches is False


def test_a_person_costs_what_the_scenario_says() -> None:
    line = crowded(person_cost_per_year=45_000.0)
    present = present_setting(line)
    prices = Prices.of(line, 10)
    assert prices.known
    assert prices.fixed(present, present._replace(crew=3)) == 90_000


def test_wages_by_the_hour_are_paid_for_all_manned_hours() -> None:
    """20 an hour in 6,000 hours: 120,000 a year for one, whatever a question says they cost."""
    line = crowded(wage_per_h=20.0, hours_per_year=6000.0)
    present = present_setting(line)
    assert Prices.of(line, 10).fixed(present, present._replace(crew=3)) == 240_000
    found = found_for(line, 1.0, places=(12,), more_people=0, person_cost=7.0)
    assert found.prices.person == 7.0


def test_a_longer_bridge_costs_its_places_and_what_building_at_all_takes() -> None:
    line = crowded(**COSTS, buffer_fixed_cost=20_000.0)
    present = present_setting(line)
    prices = Prices.of(line, 10)
    # 8 places at 1,000 and 20,000 once, spread over 10 years without interest.
    assert prices.fixed(present, present._replace(places=present.places + 8)) == 2800
    assert prices.fixed(present, present) == 0


def test_without_prices_fewest_people_then_fewest_places(tmp_path: Path) -> None:
    present = present_setting(crowded())
    prices = Prices.of(crowded(), 10)
    assert not prices.known
    pairs = [present._replace(places=p, crew=c) for p, c in itertools.product((60, 12), (3, 1))]
    ordered = sorted(pairs, key=lambda each: prices.rank(present, each, 0))
    assert [(each.crew, each.places) for each in ordered] == [(1, 12), (1, 60), (3, 12), (3, 60)]
    answer = ask(
        Question("meet-target", {"reams_per_week": 1000, "places": "12,60"}),
        {"": crowded()},
        Settings(replications=2, hours=HOURS, processes=1),
        file=tmp_path / "kept.sqlite",
    )
    assert answer_json(answer_from_file(tmp_path / "kept.sqlite")[1]) == answer_json(answer)
    assert "as it is" in answer.words[0]
    assert any("none is known" in note for note in answer.notes)
    rows = next(table for table in answer.tables if table.name == "tried").rows
    assert {row[9] for row in rows} == {None}


def test_paper_left_on_cores_is_paid_for() -> None:
    # Five reels, staggered: whoever changes them all at each end throws most of the paper away.
    line = calm(
        reels={"at_start": "staggered", "diameter_mm": 500},
        money={"paper_cost_per_t": 1000.0, **COSTS},
        unwind={"change_min": 2},
        bridge={"places": 12},
    )
    found = found_for(line, 1.0, places=(12,))
    assert found.answer is not None
    assert found.answer.setting == found.present.setting
    with Runner(Settings(replications=2, hours=1.0, processes=1)) as runner:
        now = runner.outcomes({"": line})[""][0].reams_per_week
        found = meet_target(line, runner, now + 1, places=(12,), more_people=0)
    assert found.answer is not None
    assert found.answer.reaches
    assert found.answer.setting.change_together_below_m > 0
    assert found.answer.paper_cost is not None
    # So many kg for each ream, for as many reams as are asked, at 1 a kg, 6000 h a year.
    fresh = found.present_checked
    assert fresh is not None
    of_now = fresh.waste_kg_per_week.mean / fresh.reams_per_week.mean
    of_then = found.answer.waste_kg_per_week.mean / found.answer.reams_per_week.mean
    by_hand = (of_then - of_now) * found.asked * 6000 / 168
    assert found.answer.paper_cost.mean == pytest.approx(by_hand)
    assert by_hand > 0


def test_nothing_changes_together_where_nothing_can() -> None:
    assert together_to_try(one_web()) == (0.0,)
    assert together_to_try(calm(unwind={"change": "flying_splice", "stands_per_web": 2})) == (0.0,)
    # Shares of a reel of 7,775 m, to two digits.
    assert together_to_try(calm()) == (0.0, 160.0, 390.0, 780.0, 1600.0)


def test_levels_move_with_the_end_of_the_bridge() -> None:
    line = quick_line()
    present = present_setting(line)
    assert scenario_with(line, present) is line
    moved = moved_to(line, present, 60)
    assert moved == Setting(60, Levels(56, 28, None), 0.0, line.crew.size, 1)
    assert present_levels(scenario_with(line, moved)) == moved.levels
    assert scenario_with(line, moved) == with_bridge(line, 60)


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
    settings = Settings(replications=3, hours=0.5, processes=1)
    with Runner(settings) as runner:
        now = runner.outcomes({"": quick_line()})[""]
        asked = sum(each.reams_per_week for each in now) / 3
        found = meet_target(quick_line(), runner, asked, places=(20, 40), more_people=0)
        answer = found.answer
        assert answer is not None
        line = scenario_with(quick_line(), answer.setting)
        fresh: tuple[Outcome, ...] = runner.outcomes({"": line}, first=3)[""]
    assert [each.replication for each in fresh] == [3, 4, 5]
    reams = [each.reams_per_week for each in fresh]
    assert answer.reams_per_week.mean == pytest.approx(sum(reams) / 3)
    count = sum(each >= asked for each in reams)
    assert answer.weeks_that_reach == exact_proportion(count, 3)


def test_a_stopped_search_says_what_it_has() -> None:
    calls = itertools.count()
    answer = ask(
        Question("meet-target", {"reams_per_week": 1e7, "places": "20,60"}),
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
