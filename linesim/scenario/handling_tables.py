"""The table of how reels get to the line."""

from __future__ import annotations

from linesim.scenario.fields import Figures, quantity
from linesim.scenario.laws import Law, lognormal


class ReelTruck(Figures):
    """The trucks or cranes that bring reels from the store, for all stands.

    A stand that is empty, or a web that is to be changed, waits for its reel to be brought, and
    only then is prepared or changed. At places beside the line reels wait that were ordered ahead.
    Without this table a reel is always at hand.
    """

    trucks: int = quantity(1, "trucks", (1, 20), usual=(1, 2), label="trucks or cranes")
    """how many there are; each brings one reel at a time, and the next waits"""
    reel_min: Law = quantity(lognormal(4.5, 1), "min", usual=(3, 6), label="time for a reel")
    """time that a reel takes a truck, its way back included"""
    people: int = quantity(0, "people", (0, 20), label="people to bring a reel")
    """people of the crew who bring it; 0: the truck has a driver of its own"""
    stops_per_100_reels: float = quantity(
        0.0, "1/100 reels", (0, 100), usual=(0.5, 5), label="stops of the truck"
    )
    """how often a truck fails or is called away while it brings a reel, per 100 of them"""
    stop_min: Law = quantity(lognormal(15, 10), "min", usual=(5, 40), label="time of such a stop")
    """how much longer the reel then takes"""
    places: int | None = quantity(
        None, "places", (1, 100), usual=(1, 5), label="places for reels beside the line"
    )
    """places beside the line for reels brought ahead of need; none: a reel is asked for when its
    stand is empty, and brought there"""
    order_below_m: float = quantity(
        2000.0, "m", (0, 50000), usual=(500, 5000), label="a reel is ordered below"
    )
    """with places: for each reel in use with less than this left another is ordered, as far as
    there are places"""
    chuck_min: Law = quantity(
        lognormal(2, 0.5), "min", usual=(1, 4), label="time to chuck a reel from its place"
    )
    """with places: time to prepare a stand, in place of `prepare_min`"""

    @property
    def mean_min(self) -> float:
        """Mean time a reel takes a truck."""
        return self.reel_min.average() + self.stops_per_100_reels / 100 * self.stop_min.average()
