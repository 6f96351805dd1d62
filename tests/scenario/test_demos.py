"""The demo scenarios: they load clean, say that they are invented, and are of a sensible size."""

import pytest

from linesim import paper
from linesim.record import line_rates
from linesim.record.capacity import slowest_net
from linesim.scenario import KNOWN_CAUSES, Scenario, load, shipped_scenarios
from linesim.scenario.end_of_line import END_OF_LINE

DEMOS = {name: load(path) for name, path in shipped_scenarios().items()}


def sheeter_reams_per_min(s: Scenario) -> float:
    cuts = paper.cut_rate_per_min(
        s.cutter.web_speed_m_per_min, s.product.sheet_length_mm, s.cutter.max_cuts_per_min
    )
    count = paper.cuts_per_ream(s.product.sheets_per_ream, s.unwind.webs)
    return paper.rated_reams_per_min(cuts, count.cuts, s.slitter.lanes)


def test_there_are_at_least_four() -> None:
    assert {"short-bridge", "slow-wrapper", "small-crew", "two-wrappers", "orders"} <= set(DEMOS)


@pytest.mark.parametrize("name", DEMOS)
def test_each_tells_its_story_and_says_that_it_is_invented(name: str) -> None:
    rows = shipped_scenarios()[name].read_text("utf-8").splitlines()
    story = rows[: rows.index("")]
    assert len(story) > 5
    assert all(row.startswith("#") and len(row) <= 100 for row in story)
    assert any("Invented: no such line exists." in row for row in story)
    assert DEMOS[name].line.invented
    assert DEMOS[name].line.name == name.replace("-", " ")


@pytest.mark.parametrize("name", DEMOS)
def test_each_is_of_the_size_met_in_practice(name: str) -> None:
    s = DEMOS[name]
    cuts = s.cutter.web_speed_m_per_min * 1000 / s.product.sheet_length_mm
    assert cuts <= min(1000, s.cutter.max_cuts_per_min)
    assert 2 <= s.web_path.breaks_per_100_reels <= 6
    assert all(10 <= wrapper.rate_reams_per_min <= 60 for wrapper in s.wrapper)
    causes = {stop.cause for stop in s.stop}
    missing = set(END_OF_LINE) - set(s.end_of_line)
    known = {cause for cause, table in KNOWN_CAUSES.items() if table["station"] not in missing}
    assert len(causes & known) > 0.7 * len(known)
    # The transfer must be back before the next set is full.
    t = s.transfer
    cycle_s = sum(law.average() for law in (t.pick_s, t.carry_s, t.place_s, t.return_s))
    assert cycle_s < 60 * s.slitter.lanes / sheeter_reams_per_min(s)


def test_the_stories_are_true_by_their_rates() -> None:
    short, slow = DEMOS["short-bridge"], DEMOS["slow-wrapper"]
    assert short.wrapper[0].rate_reams_per_min > sheeter_reams_per_min(short)
    # A stop of the wrapper for half a minute fills what is free of the bridge.
    assert short.bridge_places / sheeter_reams_per_min(short) <= 0.55
    assert slow.wrapper[0].rate_reams_per_min < sheeter_reams_per_min(slow)
    small, two = DEMOS["small-crew"], DEMOS["two-wrappers"]
    assert small.unwind.change == "standing_change"
    assert small.crew.size <= 2
    each = [wrapper.rate_reams_per_min for wrapper in two.wrapper]
    assert max(each) < sheeter_reams_per_min(two) < sum(each)
    assert two.unwind.change == "flying_splice"
    full = DEMOS["full-pallets"]
    rates = {rate.station: rate for rate in line_rates(full)}
    nameplate = full.palletiser.rate_cartons_per_min * full.carton_packer[0].reams_per_carton
    assert nameplate == 50 > rates["sheeter"].rated > rates["palletiser"].rated
    assert slowest_net(full).station == "palletiser"
    pallet = full.palletiser.cartons_per_pallet * full.carton_packer[0].reams_per_carton
    seconds = pallet * 60 / rates["palletiser"].rated + full.palletiser.change_s.average()
    assert (pallet, round(seconds)) == (200, 340)
    orders = DEMOS["orders"]
    assert len(orders.order) >= 4
    assert orders.rest
    assert orders.planned_work
