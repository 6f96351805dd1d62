"""A wearing part changed by plan: on its meter, with its own time and people, and new after it."""

from __future__ import annotations

import math

import numpy as np
import pytest

from linesim.fast import simulate
from linesim.record.capacity import SHEETER, station_rates
from linesim.record.states import Kind, State
from linesim.scenario import ScenarioFaults
from linesim.scenario.laws import law_of
from linesim.scenario.residual_life import in_use_under_plan, residual_life
from tests.line.calm_line import calm, one_web, seconds_in, spans_of, stop, stops_of

KNIVES = {"cause": "knives", "station": "cutter", "people": 0, "restore_min": 5}
BLUNT = {"law": "empirical", "values": [3, 5]}
"""Parts last 3 km or 5 km."""


def knives(**fields):
    return [KNIVES | fields]


def long_reels(**tables):
    """A line whose only stops are those of ``tables``: a reel lasts for hours."""
    return calm(
        reels={"diameter_mm": 2000, "diameter_sd_mm": 0, "core_diameter_mm": 100},
        unwind={"stand_limit_kg": 20000, "change_min": 0},
        **tables,
    )


def test_a_part_that_lasts_long_is_changed_by_plan_on_its_meter():
    # 4 m/s: 2 km take 500 s, a change a minute. In 3000 s: five changes, the sixth is far.
    line = long_reels(stop=knives(every_web_km=50, changed_every=2, change_min=1))
    record = simulate(line, hours=3000 / 3600)
    assert stops_of(record, "cutter", "knives") == (0, 0)
    assert stops_of(record, "cutter", "knives, by plan") == (5, 300)
    assert seconds_in(record, "cutter", State.CHANGEOVER) == 300
    kind = record.cause_kinds[record.causes.index("knives, by plan")]
    assert kind == Kind.SET_UP
    starts = [s[0] for s in spans_of(record, "cutter") if s[2] == State.CHANGEOVER]
    assert starts == pytest.approx([500 + 560 * n for n in range(5)])


def test_a_part_that_fails_before_is_mended_and_its_age_starts_anew():
    # It fails at 3 km always: 750 s; the plan of 4 km never comes.
    failing = simulate(
        long_reels(stop=knives(every_web_km=3, changed_every=4, change_min=1)), hours=1
    )
    never = simulate(long_reels(stop=knives(every_web_km=3)), hours=1)
    assert stops_of(failing, "cutter", "knives") == stops_of(never, "cutter", "knives")
    assert stops_of(failing, "cutter", "knives, by plan") == (0, 0)
    assert failing.books == never.books


def test_the_kth_part_lasts_as_long_whatever_the_plan():
    """Parts that last 3 km fail under any plan of 4 km, those of 5 km under none below."""

    def kinds(changed_every):
        fields = {"every_web_km": BLUNT, "restore_min": 1, "change_min": 1}
        if changed_every:
            fields["changed_every"] = changed_every
        record = simulate(long_reels(stop=knives(**fields)), hours=8)
        spans = [s for s in spans_of(record, "cutter") if s[2] in (State.DOWN, State.CHANGEOVER)]
        return [(s[2] == State.DOWN, s[0]) for s in spans]

    to_failure, planned = kinds(None), kinds(4)
    starts = np.array([0, *(at + 60 for _, at in to_failure)])
    lasted = [(at - began) * 4 / 1000 for began, (_, at) in zip(starts, to_failure, strict=False)]
    assert len(lasted) > 15
    for kilometres, (failed, _) in zip(lasted, planned, strict=False):
        assert failed == (kilometres == pytest.approx(3))


def test_a_change_by_plan_spoils_nothing_and_takes_its_own_people():
    spoils = {"spoils_cuts": 50, "spoils_web_m": 100, "spoils_pockets": True}
    line = long_reels(
        stop=knives(every_web_km=50, changed_every=2, change_min=1, **spoils),
        gate={"cuts_after_stop": 0},
    )
    books = simulate(line, hours=0.5).books
    assert books.paper.spoiled == 0
    assert books.sheets.spoiled == 0
    assert sum(books.paper.rejected.values()) == 0
    failing = simulate(long_reels(stop=knives(every_web_km=2, **spoils)), hours=0.5).books
    assert failing.paper.spoiled > 0


def test_a_change_by_plan_has_its_own_people():
    plan = {"every_web_km": 50, "changed_every": 2, "change_min": 1}
    with pytest.raises(ScenarioFaults, match="planned change of 'knives' takes 3 people"):
        long_reels(stop=knives(**plan, change_people=3), crew={"size": 2})
    # Both are at the wrapper from 360 s on, for an hour. A change is due at 500 s, when the bridge
    # has room left.
    busy = stop("wrapper", "other", every_clock_h=0.1, restore_min=60, people=2)

    def waited(**people):
        line = long_reels(stop=[*knives(**plan | people), busy], crew={"size": 2})
        return seconds_in(simulate(line, hours=0.2), "cutter", State.WAITING_PEOPLE)

    assert waited(people=0) == 0
    assert waited(people=1) == waited(people=0, change_people=1) == 720 - 500
    assert waited(people=1, change_people=0) == 0


def test_a_wrapper_spoils_reams_by_failures_alone():
    fields = {"cause": "jaws", "station": "wrapper", "people": 0, "restore_min": 1}
    plan = {"changed_every": 90, "change_min": 1, "spoils_reams": 3}
    spoiled = simulate(long_reels(stop=[fields | {"every_reams": 100} | plan]), hours=1)
    assert stops_of(spoiled, "wrapper", "jaws, by plan")[0] > 5
    assert spoiled.books.reams.lost == 0
    failing = simulate(
        long_reels(stop=[fields | {"every_reams": 80} | plan | {"restore_min": 0.1}]), hours=1
    )
    assert failing.books.reams.lost > 10
    hours = {"every_running_h": 0.9, "changed_every": 0.1, "change_min": 1, "spoils_reams": 3}
    by_hours = simulate(long_reels(stop=[fields | hours]), hours=1)
    assert stops_of(by_hours, "wrapper", "jaws, by plan")[0] > 2
    assert by_hours.books.reams.lost == 0


def test_by_the_clock_the_age_starts_when_it_is_mended():
    line = long_reels(
        stop=[
            {"cause": "filter", "station": "bridge", "people": 0, "restore_min": 30}
            | {"every_clock_h": 9, "changed_every": 0.25, "change_min": 5}
        ]
    )
    record = simulate(line, hours=1)
    starts = [s[0] for s in spans_of(record, "bridge") if s[2] == State.CHANGEOVER]
    assert starts == pytest.approx([900, 2100, 3300])


def test_each_web_has_a_part_of_its_own():
    line = long_reels(
        stop=[
            {"cause": "roller", "station": "web_path", "people": 0, "restore_min": 9}
            | {"every_web_km": 50, "changed_every": 2, "change_min": 1, "per_web": True}
        ]
    )
    record = simulate(line, hours=0.2)
    assert [name for name in record.causes if "roller" in name][1::2] == [
        f"roller, by plan (web {web})" for web in range(1, 6)
    ]
    assert stops_of(record, "web_path", "roller, by plan (web 4)")[0] == 1


def test_since_last_counts_towards_the_plan():
    fields = {"every_web_km": 50, "changed_every": 2, "change_min": 1}
    aged = simulate(long_reels(stop=knives(**fields, since_last=1.5)), hours=0.5)
    first = next(s for s in spans_of(aged, "cutter") if s[2] == State.CHANGEOVER)
    assert first[0] == pytest.approx(125)
    overdue = simulate(long_reels(stop=knives(**fields, since_last=7)), hours=0.5)
    first = next(s for s in spans_of(overdue, "cutter") if s[2] == State.CHANGEOVER)
    assert first[0] == pytest.approx(0, abs=0.02)


LAWS = {
    "constant": 3,
    "exponential": {"law": "exponential", "mean": 3},
    "weibull": {"law": "weibull", "mean": 3, "shape": 3},
    "lognormal": {"law": "lognormal", "mean": 3, "sd": 1},
    "empirical": {"law": "empirical", "values": [1, 2, 6]},
}


@pytest.mark.parametrize("law", LAWS)
def test_a_line_met_on_any_day_has_parts_of_the_ages_it_has_in_the_long_run(law):
    """Ages have the density R(a) / mean use up to the plan; who is of age a lives on by R.

    So a share of 1 - integral of R from every - x to every / mean use is changed or fails within x.
    """
    found, every = law_of(LAWS[law]), 2.5
    middles = (np.arange(30) + 0.5) / 30
    met = [in_use_under_plan(found, every, u, v) for u in middles for v in middles]
    left, ages = np.array(met).T
    assert ages.min() >= 0
    assert ages.max() <= every
    used = found.mean_up_to(every)
    for age in (0.3, 1.1, 1.7, 2.3):
        assert np.mean(ages <= age) == pytest.approx(found.mean_up_to(age) / used, abs=0.02)
    # Those of an age above 1.5 that live for 1 more and longer: by the definition of R, over ages.
    grid = np.linspace(1.5, every, 20_001)
    lives = np.array([1 - found.below(float(age) + 1) for age in grid])
    share = np.trapezoid(lives, grid) / used
    assert np.mean((ages > 1.5) & (left > 1)) == pytest.approx(share, abs=0.02)


@pytest.mark.parametrize("law", LAWS)
def test_a_plan_that_no_part_lives_to_see_is_none(law):
    found = law_of(LAWS[law])
    for u in (0.01, 0.5, 0.99):
        assert in_use_under_plan(found, 1e6, u, 0.3)[0] == residual_life(found, u)
    if law == "exponential":  # without memory the plan is no matter to what is left
        assert in_use_under_plan(found, 0.1, 0.5, 0.3)[0] == residual_life(found, 0.5)
    cause = knives(every_web_km=LAWS[law])
    never = simulate(long_reels(start={"state": "as_found"}, stop=cause), hours=2)
    plan = {"changed_every": 1e6, "change_min": 1}
    late = simulate(long_reels(start={"state": "as_found"}, stop=[cause[0] | plan]), hours=2)
    assert late.books == never.books
    assert stops_of(late, "cutter", "knives") == stops_of(never, "cutter", "knives")


def test_from_any_day_on_as_many_stops_are_to_be_expected_as_in_the_long_run():
    """Renewal: 1 / mean life between stops from the first moment, of each kind by its chance."""
    law = {"law": "weibull", "mean": 4, "shape": 3}
    part = {"every_web_km": law, "changed_every": 3.5, "change_min": 0.1, "restore_min": 0.3}
    parts = [KNIVES | part | {"cause": f"knife {number}"} for number in range(12)]
    line = one_web(start={"state": "as_found", "run_in_h": 0}, stop=parts)
    kilometres = failed = changed = 0.0
    for number in range(40):
        record = simulate(line, hours=0.2, replication=number, history=False)
        kilometres += 12 * seconds_in(record, "cutter", State.RUNNING) * 4 / 1000
        for stops in record.stops:
            by_plan = record.causes[stops.cause].endswith(", by plan")
            changed += stops.count * by_plan
            failed += stops.count * (record.causes[stops.cause].startswith("knife") - by_plan)
    cause = line.stop[0]
    expected = kilometres / cause.mean_between
    assert expected > 250
    # Wear makes the count less uneven than chance alone would.
    for count, share in ((failed, cause.chance_to_fail), (changed, 1 - cause.chance_to_fail)):
        assert count == pytest.approx(expected * share, abs=3 * math.sqrt(expected * share))
    assert failed + changed == pytest.approx(expected, abs=2 * math.sqrt(expected))


def test_the_rates_know_the_plan():
    law = {"law": "weibull", "mean": 10, "shape": 3}
    plan = {"every_running_h": law, "changed_every": 8, "change_min": 20, "restore_min": 60}
    line = calm(stop=knives(**plan))
    (sheeter,) = (rate for rate in station_rates(line) if rate.station == SHEETER)
    survives = math.exp(-((8 / (10 / math.gamma(4 / 3))) ** 3))
    ages = np.linspace(0, 8, 20_001)
    use = np.trapezoid(np.exp(-((ages / (10 / math.gamma(4 / 3))) ** 3)), ages)
    assert sheeter.minutes_per_running_h["knives"] == pytest.approx(60 * (1 - survives) / use)
    assert sheeter.minutes_per_running_h["knives, by plan"] == pytest.approx(20 * survives / use)


def test_contradictions():
    with pytest.raises(ScenarioFaults, match=r"how long a change by plan takes is not given"):
        calm(stop=knives(every_web_km=3, changed_every=2))
    with pytest.raises(ScenarioFaults, match=r"planned itself"):
        calm(stop=knives(every_web_km=3, changed_every=2, change_min=1, planned=True))
    with pytest.raises(ScenarioFaults, match=r"would never run"):
        calm(stop=knives(every_web_km=3, changed_every=1e-9, change_min=1))
    # A time without a plan is no fault: it is what a plan would take.
    assert calm(stop=knives(every_web_km=3, change_min=1)).stop[0].chance_to_fail == 1
