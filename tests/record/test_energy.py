"""Energy by hand: kilowatts times the hours of each state."""

from __future__ import annotations

import json
from fractions import Fraction

import pytest

import linesim
from linesim import simulate
from linesim.record.audit import audit
from linesim.record.energy import station_energy
from linesim.record.states import State
from linesim.scenario import ScenarioFaults, check_mapping
from linesim.studies.energy import energy_use
from linesim.studies.run_spec import scenario_text
from tests.line.calm_line import calm, stop

CUTTER = {"kw_running": 40, "kw_standing": 4}
WRAPPER = {"rate_reams_per_min": 60, "kw_running": 12, "kw_standing": 3}
STANDS_A_QUARTER = [stop("cutter", every_running_h=0.25, restore_min=5, people=0)]
"""Due after 15 min running, mended after 5: in an hour it runs 45 min and stands 15."""


def line(**tables):
    reels = {"diameter_mm": 2000}  # longer than an hour: no reel is changed
    return calm(
        reels=reels,
        unwind={"stand_limit_kg": 20000},
        cutter=CUTTER,
        stop=STANDS_A_QUARTER,
        **tables,
    )


def test_by_hand():
    cutter, wrapper = station_energy(simulate(line(wrapper=[WRAPPER]), hours=1))
    assert cutter.station == "cutter"
    assert cutter.kwh_by_state == {State.RUNNING: 30, State.DOWN: 1}
    assert (cutter.kwh, cutter.standing_kwh) == (31, 1)
    # 240 m/min make 32 reams a minute, less what is under way; each takes the wrapper a second.
    reams = 32 * 45
    assert wrapper.kwh_by_state[State.RUNNING] == pytest.approx(12 * reams / 3600, rel=0.01)
    ran = wrapper.kwh_by_state[State.RUNNING] / 12
    assert wrapper.kwh == 12 * ran + 3 * (1 - ran)
    assert wrapper.kwh_by_state[State.STARVED] == 3 * (1 - ran) == wrapper.standing_kwh


def test_only_where_power_is_given():
    assert station_energy(simulate(calm(), hours=0.1)) == ()
    (outfeed,) = station_energy(
        simulate(calm(outfeed={"kw_running": 1, "kw_standing": 1}), hours=0.5)
    )
    assert (outfeed.station, outfeed.kwh) == ("outfeed", Fraction(1, 2))


def test_the_audit_adds_up_energy():
    def checks(record):
        return {check.what: check.faults for check in audit(record)}

    what = "energy by state adds up to running and standing"
    assert checks(simulate(line(wrapper=[WRAPPER]), hours=1))[what] == ()
    assert what not in checks(simulate(calm(), hours=0.1))


def test_per_thousand_reams_and_share_of_replications():
    result = linesim.studies.replicate(line(), hours=1, replications=3)
    use = energy_use(result, ["cutter"])
    # Nothing is by chance on this line: all runs are alike.
    good = result.runs[0].good_reams
    assert use.kwh.text() == "31"
    assert use.per_1000_reams.mean == pytest.approx(31 / good * 1000)
    assert use.standing.mean == pytest.approx(1 / 31)
    assert use.by_state["down"].mean == 1


def test_the_report_tells_it_only_where_given():
    priced = line(wrapper=[WRAPPER], money={"energy_price_per_kwh": 0.25})
    result = linesim.studies.replicate(priced, hours=1, replications=2)
    text = " ".join(linesim.report.run_text(result).split())
    assert "While nothing is made" in text
    told = json.loads(linesim.report.json_text(result))["energy"]
    assert told["stations"]["cutter"]["kwh"]["mean"] == 31
    assert told["price_per_kwh"] == 0.25
    per_1000 = told["kwh_per_1000_reams"]["mean"]
    assert sum(s["kwh"]["mean"] for s in told["stations"].values()) == pytest.approx(
        told["kwh"]["mean"]
    )
    assert f"At 0.25 a kWh, energy costs {per_1000 / 4:.3g}" in text
    page = linesim.report.report_page(priced, result).html()
    assert "kWh per 1,000 good reams" in page

    silent = linesim.studies.replicate(calm(), hours=0.2, replications=2)
    assert "nergy" not in linesim.report.run_text(silent)
    assert "energy" not in json.loads(linesim.report.json_text(silent))
    assert "kWh per" not in linesim.report.report_page(calm(), silent).html()


def test_no_ream_no_energy_per_ream():
    result = linesim.studies.replicate(line(), hours=0.001, replications=2)
    assert result.runs[0].good_reams == 0
    assert energy_use(result, ["cutter"]).per_1000_reams is None
    assert linesim.report.run_text(result)


def test_a_doubted_power_is_in_the_interval():
    doubt = [{"of": "kw_running", "between": [30, 50]}]
    doubted = calm(cutter=CUTTER | {"doubt": doubt})
    result = linesim.studies.replicate(doubted, hours=0.2, replications=16)
    assert energy_use(result, ["cutter"]).kwh.doubt > 0.2 * 5


def test_one_power_alone_is_a_fault():
    with pytest.raises(ScenarioFaults, match=r"cutter.kw_running.*kw_standing is not given"):
        check_mapping({"cutter": {"kw_running": 40}})
    with pytest.raises(ScenarioFaults, match=r"wrapper\[0\].kw_standing.*kw_running is not given"):
        check_mapping({"wrapper": [{"kw_standing": 4}]})


def test_a_line_without_power_has_the_digest_it_had():
    assert "kw_" not in scenario_text(calm())
    assert "kw_running" in scenario_text(line())


def test_packer_and_palletiser_draw_power_too():
    ends = {
        "carton_packer": {"kw_running": 2, "kw_standing": 2},
        "palletiser": {"kw_running": 3, "kw_standing": 3},
    }
    found = {each.station: each.kwh for each in station_energy(simulate(calm(**ends), hours=0.5))}
    assert found == {"carton_packer": 1, "palletiser": Fraction(3, 2)}
