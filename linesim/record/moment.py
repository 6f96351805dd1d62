"""What a line looks like at one moment of a run: reels, pockets, sets, reams, wrappers, states."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from linesim.record.states import State, wait_words


class SetPlace(Enum):
    """Where a full set is on its way from the pockets to the bridge."""

    IN_POCKETS = "in the pockets"
    LIFTED = "being lifted"
    CARRIED = "being carried"
    AT_BRIDGE = "waiting at the bridge"
    PUT_DOWN = "being put down"


@dataclass(frozen=True)
class StationNow:
    """What a station does, why, since when and how long still."""

    name: str
    state: State
    cause: str
    """Empty where there is none to name."""
    root_station: str | None
    """The station it really waits for, or whose pace it keeps to; None where there is none."""
    root_cause: str
    since_ns: int
    until_ns: int
    for_pace: bool = False
    """It waits, and for nothing but the pace of a slower station: nobody needs to act."""

    @property
    def words(self) -> str:
        """State and reason for people.

        >>> StationNow("cutter", State.BLOCKED, "jam", "wrapper", "jam", 0, 1).words
        'blocked by wrapper: jam'
        """
        if self.root_station is not None:
            return wait_words(self.state, self.root_station, self.root_cause)
        return f"{self.state.words}: {self.cause}" if self.cause else self.state.words


@dataclass(frozen=True)
class ReelNow:
    """The reel one web runs from."""

    web: int
    """1 for the first web."""
    diameter_mm: float
    left_m: float
    """Paper on the reel; what is threaded through the machine is not in it."""


@dataclass(frozen=True)
class SetNow:
    """A full set that is not on the bridge yet."""

    reams: int
    place: SetPlace
    part: float
    """How much of this move is done, 0 to 1; 0 while it waits."""


@dataclass(frozen=True)
class WrapperNow:
    """A wrapper at a moment."""

    name: str
    part: float | None
    """How much of the ream's wrapping is done, 0 to 1; None where it has no ream."""
    finished: int
    """Reams finished since counting began, good or spoiled."""


@dataclass(frozen=True)
class Moment:
    """The line at ``t_ns``. What a record cannot tell is not in it.

    Not recorded, and so not here: which people are busy where, whether the second reel of a pair
    is prepared yet, and how many reams lie on the rework table or behind the wrappers.
    """

    t_ns: int
    order: str | None
    """Name of the order being cut; None where the scenario has no orders."""
    lanes: int
    """Reams that one set makes: ``lanes`` pockets stand side by side."""
    cuts_per_ream: int
    web_m: float
    """Web through the knives since counting began, one web."""
    web_speed_m_per_min: float
    rated_speed_m_per_min: float
    """Of the product being cut."""
    reels: tuple[ReelNow, ...]
    full_set_waits: bool
    """A full set stands in the pockets."""
    pocket_cuts: float
    """Cuts in the pockets; every cut lays a sheet of each web into each pocket."""
    belt_cuts: float
    """Cuts held back on the overlap belt because the pockets are full."""
    sets: tuple[SetNow, ...]
    """Full sets on their way, the oldest first."""
    bridge_level: int
    """Reams on the bridge, travelling ones too."""
    bridge_places: int
    bridge_rows: tuple[float, ...]
    """For each ream on the bridge, the first to be wrapped first: rows of places between it and
    the wrappers. Whole numbers are places; a ream under way lies between two."""
    wrappers: tuple[WrapperNow, ...]
    wrapped: int
    """Reams that have left the wrappers since counting began, good or spoiled."""
    stations: tuple[StationNow, ...]

    def station(self, name: str) -> StationNow:
        return {each.name: each for each in self.stations}[name]
