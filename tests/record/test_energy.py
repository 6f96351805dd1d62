"""Energy by hand: kilowatts times the hours of each state."""

from __future__ import annotations

import csv
import json
from fractions import Fraction

import pytest

import linesim
from linesim import simulate
from linesim.record.audit import audit
from linesim.record.energy import station_energy
from linesim.record.states import State
from linesim.report.csv_folder import write_folder
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
    assert (
        json.loads(linesim.report.json_text(result))["measures"]["kwh_per_1000_reams"]
        == (told["kwh_per_1000_reams"])
    )
    assert f"At 0.25 a kWh, energy costs {per_1000 / 4:.3g}" in text
    page = linesim.report.report_page(priced, result, appendix=True).html()
    assert "kWh per 1,000 good reams" in page

    silent = linesim.studies.replicate(calm(), hours=0.2, replications=2)
    assert "nergy" not in linesim.report.run_text(silent)
    assert "energy" not in json.loads(linesim.report.json_text(silent))
    assert "kwh_per_1000_reams" not in json.loads(linesim.report.json_text(silent))["measures"]
    assert "kWh per" not in linesim.report.report_page(calm(), silent, appendix=True).html()


def test_each_run_tells_energy_for_its_reams_beside_its_other_measures():
    result = linesim.studies.replicate(line(wrapper=[WRAPPER]), hours=1, replications=2)
    column = list(result.to_frame()["kwh_per_1000_reams"])
    # The cutter draws 31 kWh, the wrapper what it draws; 32 reams a minute for 45 minutes.
    for run, figure in zip(result.runs, column, strict=True):
        kwh = 31 + sum(run.energy_kwh["wrapper"].values())
        assert figure == pytest.approx(1000 * kwh / run.good_reams)
    figure, *_ = (
        each for each in linesim.report.glance(result).figures if each.name.startswith("kWh")
    )
    assert figure.name == "kWh per 1,000 good reams"
    assert figure.value == energy_use(result, ["cutter", "wrapper"]).per_1000_reams.text()
    assert figure.meaning == "drawn by 2 stations whose power is given, standing, too"
    silent = linesim.studies.replicate(calm(), hours=0.2, replications=2)
    assert "kwh_per_1000_reams" not in silent.to_frame()
    assert not any("kWh" in each.name for each in linesim.report.glance(silent).figures)


def test_columns_of_a_run_hold_its_energy_by_station_and_state(tmp_path):
    record = simulate(line(wrapper=[WRAPPER]), hours=1)
    assert "energy" in [path.stem for path in write_folder(tmp_path, record)]
    rows = list(csv.DictReader((tmp_path / "energy.csv").read_text(encoding="utf-8").splitlines()))
    assert list(rows[0]) == ["station", "state", "kwh", "kwh_per_1000_reams"]
    assert (rows[0]["station"], rows[0]["state"], float(rows[0]["kwh"])) == (
        "cutter",
        "running",
        30,
    )
    per_1000 = 1000 / record.books.reams.good
    for row in rows:
        assert float(row["kwh_per_1000_reams"]) == pytest.approx(float(row["kwh"]) * per_1000)
    total = sum(each.kwh for each in station_energy(record))
    assert sum(float(row["kwh"]) for row in rows) == pytest.approx(float(total))
    silent = write_folder(tmp_path / "silent", simulate(calm(), hours=0.2))
    assert "energy" not in [path.stem for path in silent]


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
