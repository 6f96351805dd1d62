"""Small cases worked by hand, and what is refused."""

from collections.abc import Callable

import pytest

from linesim import paper


def test_four_lanes_of_a4() -> None:
    assert paper.web_width_mm(4, 210, 10) == 4 * 210 + 20
    assert paper.slitting_positions(4) == 5
    assert paper.slitting_positions(1) == 2
    assert paper.slitting_positions(1, edges_trimmed=False) == 0


def test_six_webs_give_four_sheets_away() -> None:
    assert paper.cuts_per_ream(500, 6) == paper.Count(cuts=84, even=False, extra_sheets=4)
    assert paper.cuts_per_ream(500, 5) == paper.Count(cuts=100, even=True, extra_sheets=0)


def test_the_slower_of_web_and_cutter_sets_the_rate() -> None:
    assert paper.cut_rate_per_min(210, 297) == pytest.approx(707.0707, abs=1e-4)
    assert paper.cut_rate_per_min(210, 297, 600) == pytest.approx(600)
    assert paper.speed_within_cutter_m_per_min(210, 297, 600) == pytest.approx(178.2)
    assert paper.speed_within_cutter_m_per_min(100, 297, 600) == 100
    assert paper.rated_reams_per_min(600, cuts_per_ream=100, lanes=4) == 24


def test_wrapping_a_ream() -> None:
    height_mm = paper.ream_height_mm(500, 104)
    assert height_mm == 52
    assert paper.wrap_length_mm(210, height_mm, 20) == 2 * 210 + 2 * 52 + 20
    assert paper.reams_per_roll(1500, 544) == 2757
    # 2757 wraps exactly, though in binary the quotient comes out a hair below.
    assert paper.reams_per_roll(279.5598, 101.4) == 2757


def test_an_empty_reel_holds_nothing() -> None:
    assert paper.reel_length_m(76, 76, 104) == 0
    assert paper.reel_diameter_mm(0, 76, 104) == 76


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: paper.reel_length_m(70, 76, 104), "core diameter or more"),
        (lambda: paper.reel_length_m(1250, -1, 104), "core_diameter_mm is -1"),
        (lambda: paper.reel_length_m(1250, 76, 0), "thickness_um is 0"),
        (lambda: paper.reel_length_m(float("nan"), 76, 104), "diameter_mm is nan"),
        (lambda: paper.reel_diameter_mm(-1, 76, 104), "length_m is -1"),
        (lambda: paper.reel_mass_kg(1250, 76, 0, 80, 104), "width_mm is 0"),
        (lambda: paper.reel_mass_kg(1250, 76, 860, 0, 104), "grammage_g_per_m2 is 0"),
        (lambda: paper.ream_mass_kg(210, 297, 0, 80), "sheets is 0; it must be a whole number"),
        (lambda: paper.ream_height_mm(499.5, 104), "whole number"),
        (lambda: paper.web_width_mm(0, 210, 10), "lanes is 0"),
        (lambda: paper.web_width_mm(4, 210, -1), "edge_trim_mm is -1"),
        (lambda: paper.slitting_positions(True), "lanes is True"),
        (lambda: paper.cuts_per_ream(500, 0), "webs is 0"),
        (lambda: paper.cut_rate_per_min(-1, 297), "web_speed_m_per_min is -1"),
        (lambda: paper.cut_rate_per_min(210, 0), "cut_length_mm is 0"),
        (lambda: paper.cut_rate_per_min(210, 297, 0), "max_cuts_per_min is 0"),
        (lambda: paper.wrap_length_mm(210, 52, -5), "overlap_mm is -5"),
        (lambda: paper.reams_per_roll(float("inf"), 544), "roll_length_m is inf"),
    ],
)
def test_impossible_measures_are_refused_in_words(call: Callable[[], object], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        call()
