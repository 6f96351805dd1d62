"""What must hold for any paper, reel and count."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim import paper

thicknesses_um = st.floats(20, 1000)
cores_mm = st.floats(0, 400)
lengths_m = st.floats(0, 50_000)


@given(lengths_m, cores_mm, thicknesses_um)
def test_diameter_and_length_undo_each_other(
    length_m: float, core_mm: float, thickness_um: float
) -> None:
    diameter_mm = paper.reel_diameter_mm(length_m + 1, core_mm, thickness_um)
    assert paper.reel_length_m(diameter_mm, core_mm, thickness_um) == pytest.approx(
        length_m + 1, rel=1e-6
    )


@given(st.floats(0, 800), st.floats(0, 800), cores_mm, thicknesses_um)
def test_layers_add_up(inner: float, outer: float, core_mm: float, thickness_um: float) -> None:
    """The web on a reel is the web up to any diameter and the web beyond it."""
    middle_mm = core_mm + 1 + inner
    outside_mm = middle_mm + outer
    whole = paper.reel_length_m(outside_mm, core_mm, thickness_um)
    parts = [
        paper.reel_length_m(middle_mm, core_mm, thickness_um),
        paper.reel_length_m(outside_mm, middle_mm, thickness_um),
    ]
    assert whole == pytest.approx(math.fsum(parts), rel=1e-9)


@given(st.floats(500, 1800), st.floats(300, 2500), st.floats(40, 400), thicknesses_um)
def test_a_reel_weighs_its_volume_by_its_density(
    diameter_mm: float, width_mm: float, grammage: float, thickness_um: float
) -> None:
    core_mm = 76
    volume_m3 = math.pi / 4 * (diameter_mm**2 - core_mm**2) * width_mm / 1e9
    density_kg_per_m3 = grammage / thickness_um * 1000
    assert paper.reel_mass_kg(
        diameter_mm, core_mm, width_mm, grammage, thickness_um
    ) == pytest.approx(volume_m3 * density_kg_per_m3, rel=1e-9)


@given(st.integers(1, 5000), st.integers(1, 20))
def test_a_ream_never_comes_out_short_nor_a_whole_cut_too_thick(sheets: int, webs: int) -> None:
    count = paper.cuts_per_ream(sheets, webs)
    assert count.cuts * webs == sheets + count.extra_sheets
    assert 0 <= count.extra_sheets < webs
    assert count.even == (sheets % webs == 0)


@given(st.floats(0, 500), st.floats(100, 1500), st.floats(1, 3000))
def test_the_cutter_is_never_asked_for_more_than_it_can(
    speed: float, cut_mm: float, most: float
) -> None:
    rate = paper.cut_rate_per_min(speed, cut_mm, most)
    assert rate <= most * (1 + 1e-12)
    assert rate <= speed * 1000 / cut_mm * (1 + 1e-12)
    possible = paper.speed_within_cutter_m_per_min(speed, cut_mm, most)
    assert paper.cut_rate_per_min(possible, cut_mm) == pytest.approx(rate, rel=1e-12)


@given(st.integers(0, 20_000), st.integers(100, 3000))
def test_a_roll_of_whole_wraps_gives_all_of_them(wraps: int, wrap_mm: int) -> None:
    assert paper.reams_per_roll(wraps * wrap_mm / 1000, wrap_mm) == wraps
    if wraps:
        assert paper.reams_per_roll((wraps * wrap_mm - 1) / 1000, wrap_mm) == wraps - 1
