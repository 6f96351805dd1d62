"""The table of what may be changed on the line: how far, and for how much."""

from __future__ import annotations

from typing import Any, Literal, get_args

from linesim.scenario.fields import Figures, quantity

LeverName = Literal[
    "longer_bridge",
    "longer_conveyors",
    "bridge_levels",
    "more_wrappers",
    "more_carton_packers",
    "faster_wrapper",
    "faster_carton_packer",
    "faster_palletiser",
    "faster_pallet_change",
    "more_pallet_places",
    "web_speed",
    "more_stands",
    "flying_splice",
    "faster_splice",
    "faster_reel_change",
    "more_trucks",
    "larger_reels",
    "change_together",
    "more_people",
    "more_skills",
    "faster_roll_change",
    "faster_changeover",
    "planned_changes",
    "fewer_breaks",
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


class Levers(Figures):
    """What may be changed to make more, how far, and for how much.

    What has no price is not bought: it is said what it would be worth. Places of buffers, wrappers,
    carton packers and people have their prices in the part Money, and buffers say how long they may
    get. Prices may be doubted, how far a lever goes is chosen.
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
    """more people at most, in [crew] and in each group"""
    skills_price: float | None = _price("price of teaching a person")
    """what it costs to teach one person of a group of the crew all that the crew can do"""
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
    faster_pallet_change_percent: float = _percent(30.0, "changes of pallets shorter by")
    """how much shorter changes of pallets could be"""
    faster_pallet_change_price: float | None = _price("price of shorter pallet changes")
    """what that costs"""
    faster_pallet_change_cost_per_year: float = _yearly("running cost of shorter pallet changes")
    """running cost of that, a year more"""
    more_pallet_places: int = quantity(
        2, "pallets", (0, 100), label="more places for full pallets at most"
    )
    """more places for full pallets at most"""
    pallet_place_price: float | None = _price("price of a place for a full pallet")
    """what one more place for a full pallet costs"""
    web_slower_percent: float = _percent(10.0, "webs slower by, at most")
    """how much slower the webs may run: fewer breaks and starts may make it worth while"""
    most_web_speed_m_per_min: float | None = quantity(
        None, "m/min", (0.01, 100000), usual=(100, 400), label="fastest the webs could run"
    )
    """fastest the webs could run; unless given, no faster than now"""
    more_stands: int = quantity(5, "stands", (0, 40), label="more stands at most")
    """more stands at most: spare ones for all webs, or where there are enough a second for each"""
    stand_price: float | None = _price("price of a stand")
    """what one more stand costs, with what splices from it"""
    flying_splice_price: float | None = _price("price of flying splices")
    """what flying splices cost, a second stand for each web included"""
    flying_splice_cost_per_year: float = _yearly("running cost of flying splices")
    """running cost of that, a year more"""
    faster_splice_percent: float = _percent(30.0, "webs at a flying splice faster by")
    """how much faster the webs could run while they are spliced"""
    faster_splice_price: float | None = _price("price of faster splices")
    """what that costs"""
    faster_splice_cost_per_year: float = _yearly("running cost of faster splices")
    """running cost of that, a year more"""
    faster_reel_change_percent: float = _percent(30.0, "reel changes shorter by")
    """how much shorter changes and splices of reels could be"""
    faster_reel_change_price: float | None = _price("price of shorter reel changes")
    """what that costs"""
    faster_reel_change_cost_per_year: float = _yearly("running cost of shorter reel changes")
    """running cost of that, a year more"""
    more_trucks: int = quantity(1, "trucks", (0, 5), label="more reel trucks at most")
    """more trucks or cranes for reels at most"""
    truck_price: float | None = _price("price of a reel truck")
    """what one more truck or crane for reels costs"""
    truck_cost_per_year: float = _yearly("running cost of a reel truck")
    """running cost of that, a year more, its driver in it"""
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
    faster_changeover_percent: float = _percent(30.0, "change-overs shorter by")
    """how much shorter change-overs between orders could be"""
    faster_changeover_price: float | None = _price("price of shorter change-overs")
    """what that costs"""
    faster_changeover_cost_per_year: float = _yearly("running cost of shorter change-overs")
    """running cost of that, a year more"""
    fewer_breaks_percent: float = _percent(30.0, "fewer web breaks by")
    """how much fewer web breaks there could be"""
    fewer_breaks_price: float | None = _price("price of fewer web breaks")
    """what that costs"""
    fewer_breaks_cost_per_year: float = _yearly("running cost of fewer web breaks")
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
