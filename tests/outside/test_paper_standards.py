"""The arithmetic of paper against standard sizes and hand calculations."""

import math
from itertools import pairwise

import pytest

from linesim import paper


def test_a_series_as_published() -> None:
    """ISO 216, main trimmed series."""
    assert paper.ISO_216_A["A4"] == (210, 297)
    assert paper.ISO_216_A["A3"] == (297, 420)
    assert paper.ISO_216_A["A0"] == (841, 1189)


def test_a_series_follows_its_own_rules() -> None:
    """ISO 216: A0 is one square metre, sides as 1 to root 2, each size half of the last."""
    sizes = list(paper.ISO_216_A.values())
    assert sizes[0][0] * sizes[0][1] == pytest.approx(1e6, rel=1e-3)
    for (width, length), (next_width, next_length) in pairwise(sizes):
        assert next_length == width
        assert next_width == length // 2
        # Millimetres are rounded off; the smaller the sheet, the more that shows.
        assert abs(length - width * math.sqrt(2)) < 1.5


def test_a_ream_of_office_paper() -> None:
    """500 sheets of A4 at 80 g/m2: 2.4948 kg, 400.8 of them in a tonne (by hand)."""
    width, length = paper.ISO_216_A["A4"]
    assert paper.ream_mass_kg(width, length, 500, 80) == pytest.approx(2.4948, abs=1e-12)
    assert paper.reams_per_tonne(width, length, 500, 80) == pytest.approx(400.8, abs=0.05)


def test_sixteen_a4_sheets_of_a_grammage_weigh_that_many_grams() -> None:
    """Sixteen A4 sheets are one A0: about one square metre, hence about the grammage."""
    assert paper.ream_mass_kg(210, 297, 16, 80) * 1000 == pytest.approx(80, rel=3e-3)


@pytest.mark.parametrize(
    ("diameter_mm", "core_mm", "length_m"), [(1250, 76, 11_756), (1500, 152.4, 16_816)]
)
def test_length_on_a_reel(diameter_mm: float, core_mm: float, length_m: float) -> None:
    """Paper of 104 um, hand calculation of pi (D^2 - d^2) / (4 t)."""
    assert paper.reel_length_m(diameter_mm, core_mm, 104) == pytest.approx(length_m, abs=0.5)


def test_length_on_a_reel_is_the_sum_of_its_turns() -> None:
    """Each turn is as long as its middle circle; added up, turn by turn, they give the reel."""
    core_mm, thickness_um, turns = 76.0, 104.0, 5000
    thickness_mm = thickness_um / 1000
    diameters = [core_mm + (2 * turn + 1) * thickness_mm for turn in range(turns)]
    length_m = math.fsum(math.pi * diameter for diameter in diameters) / 1000
    outside_mm = core_mm + 2 * turns * thickness_mm
    assert paper.reel_length_m(outside_mm, core_mm, thickness_um) == pytest.approx(
        length_m, rel=1e-12
    )
