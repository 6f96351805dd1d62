"""Stops, one more wrapper, what holds the line, any field, whole scenarios."""

from dataclasses import replace
from typing import Any

import pytest

from linesim.fast import simulate
from linesim.record.capacity import SHEETER
from linesim.record.paper_use import paper_use
from linesim.record.states import RUN_UP
from linesim.report.answers.add_wrapper import add_wrapper_answer
from linesim.scenario import Scenario, contradictions, load, shipped_scenarios
from linesim.studies.add_wrapper import ONE_MORE, add_wrapper
from linesim.studies.changes import ready_for_more, with_bridge, without_cause
from linesim.studies.compare import compare
from linesim.studies.differences import between
from linesim.studies.field_names import FieldError
from linesim.studies.levers import levers_of
from linesim.studies.outcome import outcome_of
from linesim.studies.rank_stops import rank_stops
from linesim.studies.runner import Runner, Settings
from linesim.studies.size_bridge import size_bridge
from linesim.studies.vary import present_value, read_span, vary, with_values
from linesim.studies.what_holds import what_holds
from linesim.studies.worth import year_of
from tests.line.calm_line import calm, one_web
from tests.studies.lines import quick_line, textbook_line

SHORT = Settings(replications=3, hours=6.0, processes=1)
LINE = quick_line()


def test_stops_are_sorted_by_true_cost_not_by_minutes() -> None:
    with Runner(SHORT) as runner:
        found = rank_stops(LINE, runner)
    costs = [cause.reams_gained.interval.mean for cause in found.causes]
    assert costs == sorted(costs, reverse=True)
    assert {"wrapper jam", "controls", "reel changes", "roll changes"} <= {
        cause.cause for cause in found.causes
    }
    assert [station.station for station in found.stations] == ["sheeter", "transfer", "wrappers"]
    # Few runs, rare stops: by Student alone there might be fewer than none.
    assert any(each.mean < each.half_width for each in (cause.count for cause in found.causes))
    assert all(cause.count.low >= 0 for cause in found.causes)
    assert all(cause.minutes.low >= min(0, cause.slowed.low) for cause in found.causes)


def test_splices_take_the_time_that_the_webs_are_slow_for_them() -> None:
    """60 m at 2 m/s instead of 4, and no standstill: 30 s slowed for every flying splice."""
    line = one_web(
        reels={"diameter_mm": 500},
        unwind={
            "stands_per_web": 2,
            "change": "flying_splice",
            "prepare_min": 1,
            "prepare_people": 0,
            "splice_speed_m_per_min": 120,
            "splice_length_m": 60,
        },
    )
    with Runner(Settings(replications=2, hours=6, processes=1)) as runner:
        (reels,) = rank_stops(line, runner).causes
    assert reels.cause == "splices"
    assert reels.count.mean > 100
    # The last one is under way when the run ends.
    assert reels.slowed.mean == pytest.approx(reels.count.mean * 0.5, rel=1e-3)
    assert reels.minutes == reels.slowed
    # Slow for 30 s the webs cut half: 16 reams a minute are lost of 32.
    assert reels.reams_per_minute == pytest.approx(16, rel=0.02)


def test_a_cause_that_no_run_met_takes_no_time(monkeypatch: pytest.MonkeyPatch) -> None:
    """What it did before the counted time moves the run-ups of others: no time that it takes."""
    with Runner(Settings(replications=3, hours=1, processes=1)) as runner:
        made = runner.outcomes

        def with_longer_run_ups(variants: dict[str, Scenario], **more: bool) -> Any:
            rows = made(variants, **more)
            for name in [name for name in rows if name.startswith("without")]:
                rows[name] = tuple(
                    replace(o, slowed_h=o.slowed_h | {RUN_UP: 9.0}) for o in rows[name]
                )
            return rows

        monkeypatch.setattr(runner, "outcomes", with_longer_run_ups)
        found = {each.cause: each for each in rank_stops(LINE, runner).causes}
    assert found["controls"].count.mean == 0
    for minutes in (found["controls"].minutes, found["controls"].slowed):
        assert (minutes.mean, minutes.half_width) == (0, 0)
    assert found["wrapper jam"].slowed.mean < 0


def test_a_change_without_its_stop_may_bring_more_than_one_that_takes_no_time() -> None:
    """What is said beside the costs: the webs still run down and up for a splice taken away."""
    line = load(shipped_scenarios()["short-bridge"])
    flying = next(lever for lever in levers_of(line) if lever.key == "flying_splice").steps[0]
    variants = {"without": without_cause(line, "splices"), "flying": flying.change(line)}
    with Runner(Settings(replications=6, hours=48, processes=1)) as runner:
        runs = runner.outcomes(variants)
    more = between(runs["flying"], runs["without"], lambda run: run.reams_per_week)
    assert more.shown
    assert more.interval.mean > 0


def test_a_stop_that_the_bridge_swallows_costs_nothing() -> None:
    """Endless bridge, slow sheeter: the wrapper's failures are long and free."""
    line = textbook_line(100_000, wrapper_rate=40.0)
    with Runner(Settings(replications=3, hours=30, processes=1)) as runner:
        found = {cause.cause: cause for cause in rank_stops(line, runner).causes}
    wrapper, sheeter = found["wrapper fails"], found["sheeter fails"]
    assert wrapper.minutes.mean > 100
    assert sheeter.reams_gained.shown
    assert sheeter.reams_gained.interval.mean > 5000
    assert abs(wrapper.reams_gained.interval.mean) < 0.02 * sheeter.reams_gained.interval.mean


def test_a_slow_wrapper_holds_the_line_by_all_four_ways() -> None:
    with Runner(Settings(replications=3, hours=12, processes=1)) as runner:
        found = what_holds(textbook_line(30, wrapper_rate=5.0), runner)
    assert found.answers == ("wrappers",) * 4
    assert found.agree


def test_a_second_wrapper_doubles_a_line_that_its_wrapper_holds() -> None:
    line = textbook_line(30, wrapper_rate=3.0).varied(
        money={"contribution_per_ream": 0.5, "wrapper_price": 100_000.0}
    )
    with Runner(Settings(replications=3, hours=12, processes=1)) as runner:
        found = add_wrapper(line, runner)
        money = {"contribution_per_ream": 0.5}
        unpriced = add_wrapper(textbook_line(30, wrapper_rate=3.0).varied(money=money), runner)
    more = next(option for option in found.options if option.name == ONE_MORE)
    assert more.gain.shown
    assert 1.8 < more.reams_per_week.mean / found.now.mean < 2.2
    assert more.worth is not None
    yearly = more.worth.yearly.mean
    assert yearly == pytest.approx(more.gain.interval.mean * 6000 / 168 * 0.5, rel=1e-9)
    # Without a price it is told what it may cost at most.
    assert found.before_price is None
    assert unpriced.before_price == more.worth.yearly
    back, worth = more.worth.payback_years, more.worth.present_value
    assert back is not None
    assert back.value == pytest.approx(100_000 / yearly)
    # End for end what a year brings: no spread of years, which reaches below the least of them.
    assert back.low == pytest.approx(100_000 / more.worth.yearly.high)
    assert back.high == pytest.approx(100_000 / more.worth.yearly.low)
    # Present value is linear in the yearly gain, so its interval is the gain's, times a factor.
    factor = (worth.mean + 100_000) / yearly
    assert worth.half_width == pytest.approx(factor * more.worth.yearly.half_width)
    assert list(found.utilisation) == ["wrapper 1", "wrapper 2"]
    names = [option.name for option in found.options]
    assert any("bridge of 45 places" in name for name in names)
    assert "one more person" in names
    # Where the sheeter holds the line it is said why a wrapper brings reams all the same.
    why = "one more packs on meanwhile"
    assert why not in add_wrapper_answer(line, found).words[0]
    assert why in add_wrapper_answer(line, replace(found, held_now_by=SHEETER)).words[0]


def test_demand_that_is_met_makes_a_wrapper_a_loss() -> None:
    line = textbook_line(30, wrapper_rate=3.0).varied(
        money={
            "contribution_per_ream": 0.5,
            "wrapper_price": 100_000.0,
            "wrapper_cost_per_year": 7000.0,
            "demand_reams_per_year": 1000.0,
        }
    )
    with Runner(SHORT) as runner:
        found = add_wrapper(line, runner)
    more = next(option for option in found.options if option.name == ONE_MORE)
    assert found.market.met
    assert more.worth is not None
    assert more.worth.yearly.mean == pytest.approx(-7000)
    assert more.worth.payback_years is None
    assert more.in_plants is None  # nothing is doubted


def test_the_same_change_has_the_same_money_in_every_study() -> None:
    """A bridge of 30 places for 20: on the same luck, by the same sum, to the last digit."""
    line = quick_line(
        contribution_per_ream=0.4,
        ream_place_cost=1500.0,
        paper_cost_per_t=800.0,
        wrapper_price=400_000.0,
        demand_reams_per_year=11_000_000.0,
    ).varied(gate={"cuts_after_stop": 12})
    with Runner(SHORT) as runner:
        added, sized = add_wrapper(line, runner), size_bridge(line, runner, [20, 30])
    bridge = next(option for option in added.options if "bridge of 30 places" in option.name)
    assert bridge.worth is not None
    assert bridge.worth == sized.points[1].sized.worth
    step = sized.steps[0]
    assert step.worth_per_place is not None
    assert 10 * step.worth_per_place.mean == pytest.approx(bridge.worth.yearly.mean)
    assert bridge.worth.waste.mean != 0
    # A place pays where its present value is above nothing, and the other way round.
    assert sized.yearly_cost_per_place is not None
    beyond = step.worth_per_place.mean - sized.yearly_cost_per_place
    assert bridge.worth.present_value.mean == pytest.approx(10 * beyond * 6.71008, rel=1e-5)


def test_a_wrapper_keeps_its_luck_when_another_comes() -> None:
    named = ready_for_more(LINE)
    assert [wrapper.name for wrapper in named.wrapper] == ["wrapper 1"]
    one, other = (outcome_of(simulate(line, hours=6, history=False)) for line in (LINE, named))
    assert one.good_reams == other.good_reams
    assert one.avoidable_waste_kg == other.avoidable_waste_kg
    assert [(s.cause, s.ns) for s in one.stops] == [(s.cause, s.ns) for s in other.stops]


def test_a_year_counts_manned_hours_and_leaves_trim_out() -> None:
    """Two shifts on five days: 80 of 168 hours. trim is no waste."""
    record = simulate(
        calm(calendar={"shifts_per_day": 2, "days_per_week": 5}, money={"hours_per_year": 4000.0}),
        hours=168,
        history=False,
    )
    outcome = outcome_of(record)
    assert outcome.manned_hours == 80
    year = year_of(record.scenario, [outcome])
    assert year.reams == pytest.approx(outcome.good_reams * 50)
    # Nothing is rejected, nothing left on a core: trim is all there is, and no waste.
    assert paper_use(record).lost_kg["edge trim"] > 100
    assert year.waste_kg == pytest.approx(0, abs=0.01)


def test_a_field_is_varied_and_what_makes_no_line_is_said() -> None:
    span = read_span(LINE, "unwind.webs=4,5,7")
    with Runner(SHORT) as runner:
        found = vary(LINE, runner, [span])
    refused = [point for point in found.points if point.refused]
    assert [point.values for point in refused] == [(7.0,)]
    assert "do not divide" in refused[0].refused
    assert found.present_values == (5.0,)
    assert found.best.values == (5.0,)
    assert found.present is None  # the best is the line as it is


def test_two_fields_make_a_map() -> None:
    spans = [read_span(LINE, "crew.size=1:3:3"), read_span(LINE, "bridge.places=20,60")]
    with Runner(Settings(replications=2, hours=1, processes=1)) as runner:
        found = vary(LINE, runner, spans)
    assert len(found.points) == 6
    assert runner.made == 2 * 6  # the line as it is is one of the six


def test_a_law_is_scaled_to_the_mean() -> None:
    span = read_span(LINE, "unwind.change_min=3:9:3")
    longer = with_values(LINE, [span], [9.0])
    assert longer.unwind.change_min.average() == pytest.approx(9)
    assert longer.unwind.change_min.law == "lognormal"
    wrapper = read_span(LINE, "wrapper[0].rate_reams_per_min=30:60:2")
    assert with_values(LINE, [wrapper], [60.0]).wrapper[0].rate_reams_per_min == 60


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("bridge.places", "is not of the form"),
        ("bridge.palces=1:9:3", "did you mean places"),
        ("bridge.places=1:9", "from:to:count"),
        ("bridge.places=1:9:1", "it must be 2 to"),
        ("bridge.places=nan,3", "from:to:count"),
        ("bridge.when_full=1:2:2", "holds no number"),
        ("nothing=1:2:2", "no field"),
        ("..=1:2:2", "is not a name"),
        ("wrapper[7].rate_reams_per_min=1:2:2", "leads nowhere"),
        ("stop.restore_min=1:2:2", "there are 3 .*say which one, such as stop.wrapper jam.restore"),
        ("stop.wraper jam.restore_min=1,2", "no stop called 'wraper jam'; did you mean 'wrapper"),
        ("stop.wrapper jam.restor_min=1,2", "did you mean restore_min"),
        ("order.reams=1,2", "has no .*order"),
    ],
)
def test_a_field_that_cannot_be_varied_is_said(text: str, what: str) -> None:
    with pytest.raises(FieldError, match=what):
        with_values(LINE, [span := read_span(LINE, text)], span.values[:1])


def test_an_entry_of_a_list_goes_by_its_name_and_a_single_one_needs_none() -> None:
    def varied(text: str, line: Scenario = LINE) -> Scenario:
        span = read_span(line, text)
        assert present_value(line, span.name) is not None
        return with_values(line, [span], span.values)

    jam = [stop.cause for stop in LINE.stop].index("wrapper jam")
    assert varied("stop.wrapper jam.restore_min=7").stop[jam].restore_min.average() == 7
    assert varied("wrapper.rate_reams_per_min=31").wrapper[0].rate_reams_per_min == 31
    two = LINE.varied(
        wrapper=[{"name": "A"}, {"name": "No. 2.5"}],
        stop=[{"cause": "wrapper jam", "station": name} for name in ("A", "No. 2.5")],
        **{"break": [{"start_h": 4, "minutes": 20}]},
    )
    assert varied("wrapper.No. 2.5.rate_reams_per_min=9", two).wrapper[1].rate_reams_per_min == 9
    assert [
        s.restore_min.average() for s in varied("stop.wrapper jam.restore_min=7", two).stop
    ] == [
        7,
        7,
    ]
    assert varied("break.minutes=30", two).rest[0].minutes == 30


@pytest.mark.parametrize("name", sorted(shipped_scenarios()))
def test_the_size_of_a_bridge_means_the_same_line_in_every_study(name: str) -> None:
    """By places or by length, as where a size is sought: the same travel, the same levels."""
    line = load(shipped_scenarios()[name])
    for places in (line.bridge_places, 20, 44):
        sought = with_bridge(line, places)
        by_places = read_span(line, f"bridge.places={places}")
        assert with_values(line, [by_places], by_places.values) == sought
        by_length = read_span(line, f"bridge.length_m={sought.bridge_length_m:.10g}")
        assert with_values(line, [by_length], by_length.values) == sought
        assert contradictions(sought) == []
    both = [read_span(line, "bridge.places=40"), read_span(line, "bridge.stop_at_reams=33")]
    assert with_values(line, both, (40.0, 33.0)).bridge.stop_at_reams == 33


def test_two_studies_of_the_same_bridge_give_the_same_figures() -> None:
    line = LINE.varied(bridge={"places": None, "length_m": 7.0})
    with Runner(SHORT) as runner:
        sized = size_bridge(line, runner, [20, 30])
        made = runner.made
        found = vary(line, runner, [read_span(line, "bridge.places=20,21,30")])
        assert runner.made == made  # of 21 places is the line as it is
    assert [p.reams_per_week for p in sized.points] == [p.reams_per_week for p in found.points]


def test_scenarios_are_compared_with_the_first() -> None:
    slow = LINE.varied(cutter={"web_speed_m_per_min": 100.0})
    with Runner(SHORT) as runner:
        found = compare({"now": LINE, "slow": slow}, runner)
    first, second = found.rows
    assert first.against_first is None
    assert second.against_first is not None
    assert second.against_first.shown
    assert second.against_first.interval.mean < 0
    with pytest.raises(ValueError, match="two or more"), Runner(SHORT) as runner:
        compare({"now": LINE}, runner)
