"""Arithmetic of reels, sheets, reams, cuts and wraps: everything that needs no clock.

Every function is pure, takes the units its argument names say, and raises ``ValueError``
with the permitted range when an argument lies outside it.

>>> from linesim import paper
>>> round(paper.reel_length_m(1250, 76, 104))
11756
>>> round(paper.ream_mass_kg(210, 297, sheets=500, grammage_g_per_m2=80), 4)
2.4948
>>> paper.cuts_per_ream(sheets=500, webs=6)
Count(cuts=84, even=False, extra_sheets=4)
"""

from linesim.paper.cutting import (
    Count,
    cut_rate_per_min,
    cuts_per_ream,
    rated_reams_per_min,
    slitting_positions,
    speed_within_cutter_m_per_min,
    web_width_mm,
)
from linesim.paper.reels import reel_diameter_mm, reel_length_m, reel_mass_kg
from linesim.paper.sheets import ISO_216_A, ream_height_mm, ream_mass_kg, reams_per_tonne
from linesim.paper.wrapping import reams_per_roll, wrap_length_mm

__all__ = [
    "ISO_216_A",
    "Count",
    "cut_rate_per_min",
    "cuts_per_ream",
    "rated_reams_per_min",
    "ream_height_mm",
    "ream_mass_kg",
    "reams_per_roll",
    "reams_per_tonne",
    "reel_diameter_mm",
    "reel_length_m",
    "reel_mass_kg",
    "slitting_positions",
    "speed_within_cutter_m_per_min",
    "web_width_mm",
    "wrap_length_mm",
]
