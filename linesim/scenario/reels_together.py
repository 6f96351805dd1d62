"""Reels that go on together and are changed together.

The lengths of reels differ as their diameters do, cut at three times the spread. Reels that were
put on in one stop have therefore run the same length and differ by no more than the longest and
the shortest reel there can be.
"""

from __future__ import annotations

import math

from linesim import paper
from linesim.scenario.scenario import Scenario
from linesim.scenario.sheeting_tables import Reels

SPREAD_CUT = 3.0


def diameter_mm(reels: Reels, spreads: float) -> float:
    """Diameter of a fresh reel so many times the spread above its mean."""
    return max(reels.diameter_mm + reels.diameter_sd_mm * spreads, reels.core_diameter_mm * 1.05)


def length_m(reels: Reels, spreads: float, thickness_um: float) -> float:
    """Length of paper on that reel."""
    return paper.reel_length_m(diameter_mm(reels, spreads), reels.core_diameter_mm, thickness_um)


def threading_m(scenario: Scenario) -> float:
    """What a reel must hold to be of use: the web path, the run-down to a stand, and the butt."""
    speed, slowing = scenario.cutter.web_speed_m_per_min, scenario.cutter.run_down_m_per_min_per_s
    run_down_m = speed**2 / slowing / 120 if slowing > 0 else 0.0
    return scenario.unwind.butt_length_m + scenario.web_path.path_length_m + run_down_m


def are_changed_together(scenario: Scenario) -> bool:
    """Nothing is said of it, and the webs have single stands: as plants do, in one stop."""
    table = scenario.unwind
    said = table.change_together_below_m is not None
    return not said and table.webs > 1 and table.change == "standing_change"


def together_below_m(scenario: Scenario, thickness_um: float | None = None) -> float:
    """Webs with less than this left change in the same stop as another, in m; 0: none does.

    Unless it is said, those that went on together do: in whole metres, for paper of this thickness
    (without one, that of the product).
    """
    if not are_changed_together(scenario):
        return scenario.unwind.change_together_below_m or 0.0
    thick = scenario.product.thickness_um if thickness_um is None else thickness_um
    shortest, longest = (
        length_m(scenario.reels, side, thick) for side in (-SPREAD_CUT, SPREAD_CUT)
    )
    return float(math.ceil(longest - shortest + threading_m(scenario)))
