"""Lines drawn at random that have a part for certain, by what is particular about them."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from linesim.scenario import Scenario
from tests.line.any_line import any_handled, any_paced, any_packed, any_scenario
from tests.line.bought_reels import any_bought
from tests.line.manned_lines import any_manned, any_walking

Drawn = Callable[[int], Scenario]

PARTS: dict[str, Drawn] = {
    "packed": any_packed,
    "handled": any_handled,
    "paced": any_paced,
    "bought": any_bought,
    "manned": any_manned,
    "walking": any_walking,
}
"""packed: a carton packer, and most a palletiser; handled: spare stands, or trucks that bring
reels; paced: speed kept down by hand or by the level of the bridge; bought: widths as bought, bad
reels, joints at places, part reels taken again; manned: groups of people; walking: they walk."""


def add_parts(parser: argparse.ArgumentParser) -> None:
    """A flag for each part; ``part`` of what is parsed is then how its lines are drawn."""
    parser.set_defaults(part=any_scenario)
    which = parser.add_mutually_exclusive_group()
    for name, drawn in PARTS.items():
        which.add_argument(f"--{name}", action="store_const", const=drawn, dest="part")
