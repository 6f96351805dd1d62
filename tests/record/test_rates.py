"""Rated and net rates, worked out by hand."""

import pytest

from linesim import paper
from linesim.record.capacity import line_rates, reference, slowest_net, station_rates
from linesim.record.last_scenario import kept_for_the_last
from tests.record.by_hand import scenario


def rate_of(line, name):
    return next(rate for rate in (*station_rates(line), *line_rates(line)) if rate.station == name)


def every(meter, mean, minutes, station, **more):
    return {"cause": "x", "station": station, meter: mean, "restore_min": minutes} | more


def test_what_is_kept_is_of_the_same_scenario_and_no_other():
    asked = []
    cuts = kept_for_the_last(lambda line: asked.append(line) or line.slitter.lanes)
    one, other = scenario(), scenario(slitter={"lanes": 3})
    assert [cuts(each) for each in (one, one, other, one)] == [5, 5, 3, 5]
    assert asked == [one, other, one]
    # A copy that says something else is another scenario, whatever it was copied from.
    assert rate_of(one, "wrapper").rated == 60
    slower = one.model_copy(update={"wrapper": scenario(wrapper=[{"wrap_s": 2}]).wrapper})
    assert rate_of(slower, "wrapper").rated == 30


def test_rated_speeds_of_the_stations():
    line = scenario(transfer={"pick_s": 1, "carry_s": 2, "place_s": 1, "return_s": 2})
    assert rate_of(line, "sheeter").rated == pytest.approx(50)
    assert rate_of(line, "transfer").rated == pytest.approx(5 * 60 / 6)
    assert rate_of(line, "wrapper").rated == 60
    cutter = scenario(cutter={"web_speed_m_per_min": 297, "max_cuts_per_min": 500})
    assert rate_of(cutter, "sheeter").rated == pytest.approx(25)
    by_hand = scenario(wrapper=[{"name": "w", "wrap_s": {"law": "uniform", "low": 2, "high": 4}}])
    assert rate_of(by_hand, "w").rated == 20


@pytest.mark.parametrize(
    ("meter", "mean", "running_min"),
    [
        ("every_running_h", 1, 60),
        ("every_reams", 600, 10),
    ],
)
def test_each_meter_becomes_time_at_rated_speed(meter, mean, running_min):
    line = scenario(stop=[every(meter, mean, 2, "wrapper")])
    assert rate_of(line, "wrapper").net == pytest.approx(60 / (1 + 2 / running_min))


def test_web_and_cut_meters_and_every_web_of_its_own():
    # 0.297 km and 1000 cuts a minute, five webs.
    base = rate_of(scenario(), "sheeter")
    lost = 50 / base.net - 1
    by_km = scenario(stop=[every("every_web_km", 29.7, 5, "slitter")])
    assert 50 / rate_of(by_km, "sheeter").net - 1 == pytest.approx(lost + 5 / 100)
    by_cuts = scenario(stop=[every("every_cuts", 100_000, 5, "web_path", per_web=True)])
    assert 50 / rate_of(by_cuts, "sheeter").net - 1 == pytest.approx(lost + 5 * 5 / 100)


def test_stops_by_the_clock_take_their_share_of_all_time():
    line = scenario(
        stop=[
            every("every_clock_h", 1, 6, "wrapper"),
            every("every_running_h", 1, 6, "wrapper", cause="y"),
        ]
    )
    assert rate_of(line, "wrapper").availability == pytest.approx((1 - 0.1) / (1 + 0.1))


def test_standing_reel_changes_take_the_time_of_five_reels():
    one_by_one = {"change_together_below_m": 0}
    line = scenario(unwind={"webs": 5, "change_min": 6, "butt_length_m": 20} | one_by_one)
    length = paper.reel_length_m(1250, 76, 104) - 20
    assert 50 / rate_of(line, "sheeter").net - 1 == pytest.approx(5 * 297 / length * 6)


def test_breaks_are_counted_by_reels_and_grow_with_speed():
    line = scenario(
        web_path={
            "breaks_per_100_reels": 10,
            "speed_reference_m_per_min": 148.5,
            "speed_exponent": 2,
            "clamp_holds_chance": 0.5,
            "rethread_held_min": 4,
            "rethread_lost_min": 12,
        }
    )
    reels_per_min = 5 * 297 / paper.reel_length_m(1250, 76, 104)
    minutes = rate_of(line, "sheeter").minutes_per_running_h["web break"]
    assert minutes == pytest.approx(60 * reels_per_min * 0.1 * 4 * 8)


def test_wrapping_rolls():
    roll = {
        "name": "w",
        "rate_reams_per_min": 60,
        "roll_length_m": 720,
        "wrap_length_mm": 600,
        "roll_change_min": 4,
    }
    assert rate_of(scenario(wrapper=[roll]), "w").net == pytest.approx(60 / (1 + 4 / 20))
    spliced = scenario(wrapper=[roll | {"roll_change": "splice", "roll_splice_fail_chance": 0.1}])
    assert rate_of(spliced, "w").net == pytest.approx(60 / (1 + 0.4 / 20))


def test_wrappers_add_up_and_a_standby_does_not():
    two = [{"name": "A", "rate_reams_per_min": 30}, {"name": "B", "rate_reams_per_min": 10}]
    stop = [every("every_running_h", 1, 60, "A")]
    together = rate_of(scenario(wrapper=two, stop=stop), "wrappers")
    assert (together.rated, together.net) == (40, 15 + 10)
    standby = scenario(wrapper=two, stop=stop, divert={"rule": "hot_standby"})
    waiting = rate_of(standby, "wrappers")
    assert (waiting.rated, waiting.net) == (30, 15 + 0.5 * 10)


def test_orders_are_rated_by_the_time_they_take():
    # A3 cuts take 420/297 as long.
    line = scenario(
        order=[
            {"name": "A4", "reams": 1000},
            {
                "name": "A3",
                "reams": 1000,
                "sheet_width_mm": 297,
                "sheet_length_mm": 420,
                "lanes": 4,
            },
        ]
    )
    minutes = (1 / 50 + 420 / 297 / 40) / 2
    assert rate_of(line, "sheeter").rated == pytest.approx(1 / minutes)


def test_slowest_by_nameplate_and_net_of_stops_may_differ():
    line = scenario(stop=[every("every_running_h", 1, 120, "wrapper")])
    assert reference(line).station == "sheeter"
    assert slowest_net(line).station == "wrappers"


def test_carton_packers_side_by_side_make_what_each_makes():
    """A jam of a minute after every ten: 10/11 of 65 and of 35; tape costs the second more."""
    jam = every("every_running_h", 10 / 60, 1, "carton_packer")
    tape = every("every_running_h", 20 / 60, 1, "B") | {"cause": "tape"}
    packers = [
        {"name": "A", "rate_cartons_per_min": 13},
        {"name": "B", "rate_cartons_per_min": 7},
    ]
    line = scenario(carton_packer=packers, stop=[jam, tape])
    rates = {rate.station: rate for rate in (*station_rates(line), *line_rates(line))}
    assert rates["A"].net == pytest.approx(65 / 1.1)
    assert rates["B"].net == pytest.approx(35 / 1.15)
    both = rates["carton_packer"]
    assert both.rated == pytest.approx(100)
    assert both.net == pytest.approx(65 / 1.1 + 35 / 1.15)
    assert both.minutes_per_running_h == pytest.approx({jam["cause"]: 6, "tape": 3 * 0.35})


def test_cartons_and_pallets():
    """200 reams to a pallet: 40 cartons at 10 a minute, 5 sheets of 10 s, a change of 50 s."""
    packer = {"rate_cartons_per_min": 13, "spoiled_per_10000": 1000}
    pallets = {"rate_cartons_per_min": 10, "layer_sheet_s": 10, "change_s": 50}

    def found(**more):
        line = scenario(carton_packer=packer, palletiser=pallets | more)
        return {rate.station: rate for rate in station_rates(line)}

    rates = found()
    assert rates["carton_packer"].rated == pytest.approx(65)
    assert rates["carton_packer"].net == pytest.approx(65 * 0.9)
    assert rates["palletiser"].rated == pytest.approx(200 / 290 * 60)
    assert rates["palletiser"].net == pytest.approx(200 / 340 * 60)
    assert rates["palletiser"].minutes_per_running_h == pytest.approx(
        {"pallet change": 60 * 50 / 290}
    )
    # What leaves faster than it comes sets no pace.
    assert found(truck_every_min=5)["palletiser"] == rates["palletiser"]
    assert found(truck_every_min=10)["palletiser"].net == pytest.approx(20)
    assert found(truck_every_min=10, truck_takes_pallets=2)["palletiser"] == rates["palletiser"]
    assert found(fetch_min=8)["palletiser"].net == pytest.approx(25)
