"""Standard sizes, and facts of the trade, on the line's own reels and reams."""

import math
from typing import Any

import pytest

from linesim import paper
from linesim.fast import simulate
from linesim.line.chance import Chance
from linesim.line.reels import ReelStore
from linesim.scenario import Scenario, contradictions
from linesim.scenario.goods import goods_of


def a_line(**tables: Any) -> Scenario:
    """A scenario of the defaults (80 g/m2, 104 um, A4, five webs) with some tables changed."""
    return Scenario.model_validate(tables)


@pytest.mark.parametrize("size", ["A4", "A3"])
def test_a_ream_weighs_what_the_standards_say(size: str) -> None:
    """ISO 216 sizes, ISO 536 grammage: 500 sheets of A4 at 80 g/m2 are 2.4948 kg (by hand)."""
    width, length = {"A4": (210, 297), "A3": (297, 420)}[size]
    assert paper.ISO_216_A[size] == (width, length)
    scenario = a_line(
        product={"sheet_width_mm": width, "sheet_length_mm": length}, slitter={"lanes": 4}
    )
    goods = goods_of(scenario)
    assert (goods.sheet_width_um, goods.cut_um) == (width * 1000, length * 1000)
    books = simulate(scenario, hours=0.5, history=False).books
    sheets = books.sheets.to_pockets
    assert sheets > 10_000
    ream_kg = 500 * books.mass_ug["to_pockets"] / 1e9 / sheets
    assert ream_kg == pytest.approx(width * length * 500 * 80e-9, rel=1e-6)
    if size == "A4":
        assert ream_kg == pytest.approx(2.4948, rel=1e-6)
        assert 1000 / ream_kg == pytest.approx(400.8, abs=0.05)


@pytest.mark.parametrize(
    ("diameter_mm", "core_mm", "length_m"), [(1250, 76, 11_756), (1500, 152.4, 16_816)]
)
def test_length_of_a_reel_from_the_store(
    diameter_mm: float, core_mm: float, length_m: float
) -> None:
    """pi (D^2 - d^2) / (4 t) for paper of 104 um, by hand."""
    reels = {"diameter_mm": diameter_mm, "diameter_sd_mm": 0, "core_diameter_mm": core_mm}
    scenario = a_line(reels=reels)
    reel = ReelStore(scenario, Chance(1, 0), web=0).reel(0, goods_of(scenario).thickness_um)
    assert reel.length_um / 1e6 == pytest.approx(length_m, abs=0.5)


def test_a_reel_for_six_lanes_stays_under_the_limit_of_its_stand() -> None:
    """1600 mm on a 76 mm core, six A4 lanes and trim, uncoated copy paper: under 2,500 kg.
    Common practice, no source. A reel a third larger is refused."""
    tables: dict[str, Any] = {"slitter": {"lanes": 6}, "unwind": {"stand_limit_kg": 2500}}
    reels = {"diameter_mm": 1600, "diameter_sd_mm": 0, "core_diameter_mm": 76}
    scenario = a_line(reels=reels, **tables)
    assert contradictions(scenario) == []
    goods = goods_of(scenario)
    assert goods.web_width_um == 1_280_000
    reel = ReelStore(scenario, Chance(1, 0), web=0).reel(0, goods.thickness_um)
    kilograms = reel.length_um / 1e6 * 1.28 * 0.080
    assert 1900 < kilograms < 2500
    assert kilograms == pytest.approx(math.pi / 4 * (1.6**2 - 0.076**2) * 1.28 * 80e-3 / 104e-6)
    too_large = a_line(reels={"diameter_mm": 2000, "core_diameter_mm": 76}, **tables)
    assert [clash.path for clash in contradictions(too_large)] == [("reels", "diameter_mm")]


@pytest.mark.parametrize("core_mm", [76, 150, 152.4])
def test_both_usual_cores_load(core_mm: float) -> None:
    """Cores of 76 mm and 150 mm (six inches): common practice, no source."""
    scenario = a_line(reels={"core_diameter_mm": core_mm, "at_start": "fresh"})
    assert contradictions(scenario) == []
    record = simulate(scenario, hours=2, history=False)
    assert record.books.faults() == []
    assert record.books.paper.loaded > 0, "no reel was changed"
    assert record.books.reams.good > 0


def test_six_lanes_need_seven_slitting_positions() -> None:
    """Between the lanes and at both edges: common practice, no source."""
    scenario = a_line(slitter={"lanes": 6})
    assert paper.slitting_positions(goods_of(scenario).lanes) == 7


def test_five_hundred_sheets_do_not_come_out_even_from_six_webs() -> None:
    """Common practice, no source: refused under exact counting, given away under round_up."""
    exact = a_line(unwind={"webs": 6})
    clashes = contradictions(exact)
    assert [clash.path for clash in clashes] == [("unwind", "webs")]
    assert "6 webs do not divide a ream of 500 sheets" in str(clashes[0])
    rounded = a_line(unwind={"webs": 6}, product={"counting": "round_up"})
    assert contradictions(rounded) == []
    goods = goods_of(rounded)
    assert (goods.cuts_per_ream, goods.extra_sheets) == (84, 4)
    books = simulate(rounded, hours=0.5, history=False).books
    assert books.reams.made > 0
    assert books.sheets.given_away == 4 * books.reams.made
    assert books.sheets.in_reams == 504 * books.reams.made
