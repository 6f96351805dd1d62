"""Tables of the stations behind the wrappers, in the order in which reams meet them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from linesim.scenario.fields import Name, Powered, quantity
from linesim.scenario.laws import Constant, Law, lognormal

END_OF_LINE = ("outfeed", "carton_packer", "palletiser")
"""Their names in a scenario, in that order; each has a table, or several, or is not there."""


@dataclass(frozen=True)
class Pieces:
    """What a station behind the wrappers works on: reams one by one, or cartons of some."""

    rate_per_min: float
    """Rated, a minute."""
    extra_s: tuple[float, ...]
    """What one after another takes beyond the rated time, over and over."""
    room: int
    """So many of what it takes can wait before it, its own group included."""
    takes: int
    """It makes a piece of so many."""
    reams: int
    """In each that it makes."""
    place: str = ""
    """The table that it is of, by its name: stations of one place share what waits before them."""

    @property
    def pace_reams_per_min(self) -> float:
        """Reams a minute that it makes of itself."""
        pieces, rate = len(self.extra_s), self.rate_per_min
        return self.reams * (rate * pieces / (pieces + rate * sum(self.extra_s) / 60))

    @property
    def reams_waiting(self) -> int:
        """Reams that can wait before it."""
        return self.room * (self.reams // self.takes)


class Belted(Powered):
    """A station with a belt of its own before it."""

    buffer: ClassVar = "buffer"
    """What that is called, ..."""
    places_field: ClassVar = "buffer_reams"
    """... the field that says how many fit, ..."""
    piece: ClassVar = "reams"
    """... of what, ..."""
    place_cost: ClassVar = "conveyor_place_cost"
    """... and the field of [money] that says what one more place costs."""

    tracks: int | None = quantity(
        None, legal=(1, 10), usual=(1, 2), label="side by side on the belt before it"
    )
    """how many lie side by side where they wait before it; unless given, one"""
    longest_m: float | None = quantity(
        None, "m", (0, 10000), usual=(5, 60), label="longest belt there is room for"
    )
    """longest belt there is room for before it: studies try none that is longer; unless given,
    60 m, or the length there is"""

    quiet = (*Powered.quiet, "tracks", "longest_m")


class ReamsBefore(Belted):
    """A station with a belt for reams before it."""

    ream_pitch_mm: float | None = quantity(
        None, "mm", (1, 5000), usual=(230, 450), label="length a ream takes before it"
    )
    """length one ream takes on the belt before it; unless given, as on the bridge"""

    quiet = (*Belted.quiet, "ream_pitch_mm")


class EndOfLine(ReamsBefore):
    """A station behind the wrappers: it takes ream after ream, with a small buffer before it.

    Where it has no room, whatever stands before it holds on to its ream and waits.
    """

    rate_reams_per_min: float = quantity(
        40.0, "reams/min", (0.001, 1e7), usual=(20, 100), label="rated speed"
    )
    """rated speed"""
    buffer_reams: int = quantity(
        10, "reams", (0, 1_000_000), usual=(5, 40), label="reams that may wait before it"
    )
    """wrapped reams that may wait before it"""

    @property
    def extra_s(self) -> tuple[float, ...]:
        """What one ream after another takes beyond the rated time, over and over."""
        return (0.0,)

    def pieces(self, reams: int) -> Pieces:
        """What it works on, where so many reams come at a time."""
        return Pieces(self.rate_reams_per_min, self.extra_s, self.buffer_reams, 1, reams)


class Outfeed(EndOfLine):
    """What takes the wrapped reams (boxing, pallets), with a small buffer before it."""


class CartonPacker(ReamsBefore):
    """Puts groups of reams into cartons and closes them, with a conveyor for reams before it.

    A carton needs all its reams: they wait for each other in a place of their own, which is free
    for the next ones as soon as the packer takes them. Several packers share what all of them have
    before them; the reams of a carton go to the first in the list that is free.
    """

    buffer = "conveyor"
    places_field = "conveyor_reams"

    name: Name = quantity("carton_packer")
    """name of this carton packer"""
    reams_per_carton: int = quantity(5, "reams", (1, 1000), usual=(5, 10), label="reams a carton")
    """reams in a carton"""
    rate_cartons_per_min: float = quantity(
        12.0, "cartons/min", (0.001, 1e7), usual=(8, 20), label="rated speed"
    )
    """rated speed"""
    conveyor_reams: int = quantity(
        20, "reams", (0, 1_000_000), usual=(5, 60), label="reams that may wait before it"
    )
    """wrapped reams that may wait before it, besides those that wait for each other; with several
    packers, what each of them adds to the conveyor that they share"""
    magazine_blanks: int | None = quantity(
        None, "blanks", (1, 1_000_000), usual=(100, 400), label="blanks in a full magazine"
    )
    """blanks in a full magazine; none: there are always enough"""
    refill_at_blanks: int = quantity(
        50, "blanks", (0, 1_000_000), usual=(20, 100), label="magazine is refilled from"
    )
    """with so many blanks left somebody is asked to fill the magazine; the packer stands only
    where none is left before that is done"""
    refill_min: Law = quantity(
        lognormal(1.5, 0.5), "min", usual=(0.5, 3), label="time to fill the magazine"
    )
    """time to fill the magazine"""
    refill_people: int = quantity(1, "people", (0, 20), label="people to fill the magazine")
    """people to fill the magazine"""
    spoiled_per_10000: float = quantity(
        0.0, "1/10,000 cartons", (0, 9000), usual=(5, 50), label="spoiled cartons"
    )
    """cartons that come out spoiled, per 10,000; their reams are packed again, which takes another
    blank and the time of a carton"""

    def pieces(self, reams: int) -> Pieces:
        """What it works on: a group is a buffer of its own."""
        takes = self.reams_per_carton
        room = self.conveyor_reams + takes
        return Pieces(self.rate_cartons_per_min, (0.0,), room, takes, takes * reams)


class Palletiser(Belted):
    """Lays cartons on pallets, layer by layer, with a belt for cartons before it.

    Full pallets are taken away by a truck that comes every so often, or fetched by people; unless
    one of the two is given, they are gone at once.
    """

    buffer = "belt"
    places_field = "belt_cartons"
    piece = "cartons"
    place_cost = "carton_place_cost"

    rate_cartons_per_min: float = quantity(
        12.0, "cartons/min", (0.001, 1e7), usual=(8, 25), label="rated speed"
    )
    """cartons laid a minute, sheets and changes of pallets aside"""
    belt_cartons: int = quantity(
        10, "cartons", (0, 1_000_000), usual=(4, 30), label="cartons that may wait before it"
    )
    """cartons that may wait before it"""
    carton_pitch_mm: float | None = quantity(
        None, "mm", (1, 5000), usual=(350, 600), label="length a carton takes before it"
    )
    """length one carton takes on the belt before it; unless given, 450 mm"""
    cartons_per_layer: int = quantity(
        8, "cartons", (1, 1000), usual=(4, 12), label="cartons a layer"
    )
    """cartons in a layer"""
    layers_per_pallet: int = quantity(5, "layers", (1, 1000), usual=(4, 8), label="layers a pallet")
    """layers on a pallet"""
    layer_sheet_s: float = quantity(
        0.0, "s", (0, 3600), usual=(3, 10), label="time for a layer sheet"
    )
    """time that a sheet on each full layer takes"""
    change_s: Law = quantity(
        Constant(mean=30.0), "s", usual=(20, 60), label="time to change pallets"
    )
    """time to send a full pallet off and bring an empty one"""
    change_people: int = quantity(0, "people", (0, 20), label="people to change pallets")
    """people for it; 0: it changes them itself"""
    full_pallet_places: int = quantity(
        2, "pallets", (1, 100_000), usual=(1, 6), label="full pallets that may wait"
    )
    """full pallets that may wait to be taken away; when one more is full, the palletiser stands"""
    truck_every_min: Law | None = quantity(
        None, "min", usual=(3, 30), label="time between two trucks"
    )
    """time from one truck to the next, by the clock"""
    truck_takes_pallets: int = quantity(
        1, "pallets", (1, 1000), usual=(1, 2), label="pallets a truck takes"
    )
    """pallets that it takes, if so many wait"""
    fetch_min: Law | None = quantity(None, "min", usual=(1, 5), label="time to fetch a pallet")
    """time in which people fetch a full pallet, one after another"""
    fetch_people: int = quantity(1, "people", (1, 20), label="people to fetch a pallet")
    """people to fetch a pallet"""

    quiet = (*Belted.quiet, "carton_pitch_mm")

    @property
    def cartons_per_pallet(self) -> int:
        return self.cartons_per_layer * self.layers_per_pallet

    def pieces(self, reams: int) -> Pieces:
        """What it works on: cartons, the last of each layer with its sheet."""
        layer = (*[0.0] * (self.cartons_per_layer - 1), self.layer_sheet_s)
        return Pieces(self.rate_cartons_per_min, layer, self.belt_cartons, 1, reams)
