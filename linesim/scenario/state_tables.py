"""The state of a line at one moment: what a state file may say.

All of it is optional but the moment. What is not told is drawn as such a line is found on any day.
"""

from __future__ import annotations

import datetime as dt
from typing import Literal

from pydantic import Field

from linesim.scenario.fields import Name, Table, quantity
from linesim.scenario.laws import Law
from linesim.scenario.units import HOUR, SECOND

_CLOCK = r"[0-9]{2}:[0-9]{2}(:[0-9]{2})?"
_DATE_AND_TIME = rf"[0-9]{{4}}-[0-9]{{2}}-[0-9]{{2}}[ T]{_CLOCK}"

WEB_BREAK = "web break"
REEL_CHANGE, SPLICE = "reel change", "splice"
ROLL_CHANGE = "wrapping roll"
"""What stands besides for the causes of the scenario, as reports call it."""


class ReelNow(Table):
    """The reel on one web; give ``left_m`` or ``diameter_mm``."""

    web: int = quantity(..., legal=(1, 100))
    """number of the web, 1 first"""
    left_m: float | None = quantity(None, "m", (0, 1e6), label="paper left")
    """paper left on the reel"""
    diameter_mm: float | None = quantity(None, "mm", (0, 10_000), label="diameter now")
    """diameter of the reel now, in place of the metres left"""
    partner_ready: bool | None = quantity(None, label="the next reel is ready")
    """whether the next reel is prepared on the second stand of the web"""


class BridgeNow(Table):
    """What is on the bridge."""

    reams: int | None = quantity(None, "reams", (0, 1_000_000), label="reams on the bridge")
    """reams on the bridge, those that still travel among them"""


class RollNow(Table):
    """The wrapping roll of one wrapper."""

    wrapper: Name = quantity("wrapper")
    """name of the wrapper"""
    reams_left: int = quantity(..., "reams", (0, 10_000_000), label="reams left on the roll")
    """reams that its roll still wraps"""


class DownNow(Table):
    """Something that stands for a stop; give ``cause``, or ``station`` and ``remaining_min``."""

    cause: str = quantity("", label="stop cause")
    """stop cause of the scenario for which it stands; or web break, reel change or splice (give
    web), wrapping roll"""
    station: str = quantity("", label="station")
    """station that stands, where the scenario has no such cause; or which of those that
    have it"""
    web: int | None = quantity(None, legal=(1, 100), label="of which web")
    """which web, where each web has the cause of its own"""
    since: str | None = quantity(None, pattern=rf"^({_DATE_AND_TIME}|{_CLOCK})$", example="14:05")
    """since when, as 14:05 or with the date; what is left to do is drawn from the time to restore
    of the cause, given that it has lasted so long"""
    people: Literal["at_it", "awaited"] = quantity("at_it", label="people")
    """whether people are at it, from the beginning on, or it still waits for them; then all of the
    time to restore is to come"""
    remaining_min: Law | None = quantity(None, "min", usual=(1, 120), label="takes about so long")
    """time it still takes, where the people at it can say; takes the place of what is drawn"""


class WearNow(Table):
    """How far a stop cause with a meter has come since it last happened, or was renewed."""

    cause: Name = quantity(...)
    """stop cause of the scenario"""
    web: int | None = quantity(None, legal=(1, 100), label="of which web")
    """which web, where each web has the cause of its own; unless given, all webs"""
    used: float = quantity(..., legal=(0, 1e9), label="meter run since it last happened")
    """how far its meter has come since, in the unit of its interval (h, km of web, cuts, reams)"""


class OrderNow(Table):
    """The order in hand; those before it in the scenario are done."""

    name: Name = quantity(...)
    """name of the order in hand"""
    reams_made: int = quantity(0, "reams", (0, 100_000_000), label="good reams made of it")
    """good reams made of it so far"""


class BehindNow(Table):
    """What stands behind the wrappers, where the line goes on there."""

    reams_at_outfeed: int | None = quantity(None, "reams", (0, 100_000), label="at the outfeed")
    """reams that wait before the outfeed"""
    reams_at_packer: int | None = quantity(None, "reams", (0, 100_000), label="at the packer")
    """reams that wait before the carton packer"""
    blanks: int | None = quantity(None, "blanks", (0, 1_000_000), label="blanks in the magazine")
    """blanks in the magazine of each carton packer"""
    cartons_at_palletiser: int | None = quantity(
        None, "cartons", (0, 100_000), label="at the palletiser"
    )
    """cartons that wait before the palletiser"""
    cartons_on_pallet: int | None = quantity(
        None, "cartons", (0, 100_000), label="cartons on the pallet"
    )
    """cartons on the pallet that is being filled"""
    full_pallets: int | None = quantity(None, "pallets", (0, 10_000), label="full pallets")
    """full pallets that wait to be taken away"""


class PeopleNow(Table):
    """Who is not there."""

    away: int = quantity(0, "people", (0, 100), label="people away")
    """people of the crew who are not there, until the end of what is asked for"""


class LineState(Table):
    """The state of a line at one moment. Immutable."""

    format: Literal[1] = Field(1, description="version of the file format")
    moment: str = quantity(
        ..., pattern=f"^{_DATE_AND_TIME}$", example="2026-03-02 14:20", label="date and time"
    )
    """date and time of all that follows, such as 2026-03-02 14:20"""
    into_shift_h: float | None = quantity(None, "h", (0, 24), label="hours into the shift")
    """hours since the shift began, where [calendar] of the scenario does not say when it starts"""
    reams_made: int = quantity(0, "reams", (0, 1_000_000_000), label="good reams made so far")
    """good reams made before, that are to be counted in: of this shift, or this day"""
    bridge: BridgeNow = Field(default_factory=BridgeNow, description="the bridge")
    order: OrderNow | None = Field(None, description="the order in hand")
    behind: BehindNow = Field(default_factory=BehindNow, description="behind the wrappers")
    people: PeopleNow = Field(default_factory=PeopleNow, description="who is away")
    reel: tuple[ReelNow, ...] = Field(
        (), description="the reel on each web", title="reels", max_length=100
    )
    roll: tuple[RollNow, ...] = Field(
        (), description="the wrapping roll of each wrapper", title="rolls", max_length=20
    )
    down: tuple[DownNow, ...] = Field(
        (), description="what stands; all of it is told", title="what stands", max_length=100
    )
    wear: tuple[WearNow, ...] = Field(
        (), description="how far stop causes have come", title="wear", max_length=1000
    )

    @property
    def at(self) -> dt.datetime:
        """The moment. ``ValueError`` for no such day."""
        return dt.datetime.fromisoformat(self.moment)


def down_ns(state: LineState, down: DownNow) -> int:
    """How long something has been down at the moment, ns; 0 where nobody says since when.

    A clock time is the last one of that reading. ``ValueError`` for no such day or time.
    """
    if down.since is None:
        return 0
    at = state.at
    if len(down.since) > len("14:05:00"):
        since = dt.datetime.fromisoformat(down.since)
    else:
        since = dt.datetime.combine(at.date(), dt.time.fromisoformat(down.since))
        if since > at:
            since -= dt.timedelta(days=1)
    return round((at - since).total_seconds()) * SECOND


def calendar_ns(state: LineState, starts: dt.datetime | None) -> int:
    """The moment by the calendar of a scenario that ``starts`` then, ns.

    Where nobody says when it starts, or how far the shift is, a shift begins at the moment.
    """
    if starts is not None:
        return round((state.at - starts).total_seconds()) * SECOND
    return round((state.into_shift_h or 0.0) * HOUR)
