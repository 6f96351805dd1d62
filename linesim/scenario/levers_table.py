"""The table of what may be changed on the line: how far, and for how much."""

from __future__ import annotations

from typing import Any, Literal, get_args

from linesim.scenario.fields import Table, quantity

LeverName = Literal[
    "longer_bridge",
    "longer_conveyors",
    "bridge_levels",
    "more_wrappers",
    "more_carton_packers",
    "faster_wrapper",
    "faster_carton_packer",
    "faster_palletiser",
    "web_speed",
    "flying_splice",
    "faster_reel_change",
    "larger_reels",
    "change_together",
    "more_people",
    "faster_roll_change",
    "planned_changes",
    "rarer_stops",
    "shorter_stops",
]
LEVERS: tuple[LeverName, ...] = get_args(LeverName)
"""In the order in which they are tried and told."""


def _percent(default: float, label: str) -> Any:
    return quantity(default, "%", (0, 90), usual=(5, 50), label=label)


def _price(label: str) -> Any:
    return quantity(None, "money", (0, 1e12), label=label)


def _yearly(label: str) -> Any:
    return quantity(0.0, "money/year", (0, 1e12), label=label)


class Levers(Table):
    """What may be changed to make more, how far, and for how much.

    What has no price is not bought: it is said what it would be worth. Places of the bridge,
    wrappers and people have their prices in [money], and the bridge its longest_m in [bridge].
    """

    off: str | None = quantity(None, pattern=r"^[^\x00-\x1f]+$", label="not to be touched")
    """what is not to be touched, with commas between, such as longer_bridge, more_wrappers"""
    capital_limit: float | None = quantity(None, "money", (0, 1e12), label="most to spend in all")
    """most that may be spent in all; unless given, as much as pays"""
    more_wrappers: int = quantity(1, "wrappers", (0, 5), label="more wrappers at most")
    """more wrappers at most"""
    more_carton_packers: int = quantity(1, "packers", (0, 5), label="more carton packers at most")
    """more carton packers at most"""
    more_people: int = quantity(1, "people", (0, 20), label="more people at most")
    """more people at most"""
    faster_wrapper_percent: float = _percent(10.0, "wrappers faster by")
    """how much faster the wrappers could run"""
    faster_wrapper_price: float | None = _price("price of faster wrappers")
    """what that costs"""
    faster_wrapper_cost_per_year: float = _yearly("running cost of faster wrappers")
    """running cost of that, a year more"""
    faster_carton_packer_percent: float = _percent(10.0, "carton packing faster by")
    """how much faster cartons could be packed"""
    faster_carton_packer_price: float | None = _price("price of faster carton packing")
    """what that costs"""
    faster_carton_packer_cost_per_year: float = _yearly("running cost of faster carton packing")
    """running cost of that, a year more"""
    faster_palletiser_percent: float = _percent(10.0, "palletiser faster by")
    """how much faster the palletiser could run"""
    faster_palletiser_price: float | None = _price("price of a faster palletiser")
    """what that costs"""
    faster_palletiser_cost_per_year: float = _yearly("running cost of a faster palletiser")
    """running cost of that, a year more"""
    web_slower_percent: float = _percent(10.0, "webs slower by, at most")
    """how much slower the webs may run: fewer breaks and starts may make it worth while"""
    most_web_speed_m_per_min: float | None = quantity(
        None, "m/min", (0.01, 100000), usual=(100, 400), label="fastest the webs could run"
    )
    """fastest the webs could run; unless given, no faster than now"""
    flying_splice_price: float | None = _price("price of flying splices")
    """what flying splices cost, a second stand for each web included"""
    flying_splice_cost_per_year: float = _yearly("running cost of flying splices")
    """running cost of that, a year more"""
    faster_reel_change_percent: float = _percent(30.0, "reel changes shorter by")
    """how much shorter changes and splices of reels could be"""
    faster_reel_change_price: float | None = _price("price of shorter reel changes")
    """what that costs"""
    faster_reel_change_cost_per_year: float = _yearly("running cost of shorter reel changes")
    """running cost of that, a year more"""
    most_reel_diameter_mm: float | None = quantity(
        None, "mm", (200, 2200), usual=(1000, 1500), label="largest reels that can be had"
    )
    """largest reels that can be had; unless given, none larger than now"""
    faster_roll_change_percent: float = _percent(50.0, "roll changes shorter by")
    """how much shorter changes of wrapping rolls could be"""
    faster_roll_change_price: float | None = _price("price of shorter roll changes")
    """what that costs"""
    faster_roll_change_cost_per_year: float = _yearly("running cost of shorter roll changes")
    """running cost of that, a year more"""
    causes: int = quantity(3, "causes", (0, 20), label="stop causes looked at")
    """so many of the stop causes, the dearest, are thought rarer, and sooner mended"""
    rarer_percent: float = _percent(30.0, "stops rarer by")
    """how much rarer; what it costs is rarer_price in [[stop]]"""
    shorter_percent: float = _percent(30.0, "stops shorter by")
    """how much sooner mended; what it costs is shorter_price in [[stop]]"""

    @property
    def left_alone(self) -> tuple[str, ...]:
        """What is not to be touched, word by word."""
        return () if self.off is None else tuple(word.strip() for word in self.off.split(","))
