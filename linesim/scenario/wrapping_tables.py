"""The tables of what makes wrapped reams of cut sheets, in the order the sheets and reams move."""

from __future__ import annotations

from typing import Literal

from linesim.scenario.belt import Belt
from linesim.scenario.fields import Figures, Name, Powered, quantity
from linesim.scenario.laws import Constant, Law, lognormal


class OverlapBelt(Powered):
    """Overlapped sheets on their way to the pockets; it can hold some back."""

    hold_cuts: int = quantity(
        60, "cuts", (0, 100000), usual=(20, 120), label="cuts it can hold back"
    )
    """cuts it can hold back while the pockets are not free"""


class Pockets(Powered):
    """One pocket per lane."""

    interim_fingers: bool = quantity(True)
    """fingers catch the next sheets while the full set is lifted out"""


class Transfer(Powered):
    """Lifts all full pockets at once and sets the reams on the bridge."""

    pick_s: Law = quantity(Constant(mean=1.0), "s", usual=(0.5, 3), label="time to grip and lift")
    """grip and lift"""
    carry_s: Law = quantity(Constant(mean=1.5), "s", usual=(0.5, 4), label="time to carry over")
    """carry to the bridge"""
    place_s: Law = quantity(Constant(mean=0.8), "s", usual=(0.3, 2), label="time to set down")
    """set down"""
    return_s: Law = quantity(Constant(mean=1.5), "s", usual=(0.5, 4), label="time to go back")
    """go back"""
    paces_webs: bool = quantity(True, label="webs keep to its pace")
    """webs that would fill a set sooner than the transfer is back keep to its pace; false: they run
    as rated, and stand or reject cuts until it is back"""


class Bridge(Powered):
    """The buffer conveyor between transfer and wrappers."""

    places: int | None = quantity(None, "reams", (1, 100_000_000), usual=(10, 200))
    """reams that fit; or give length_m, from which they follow by pitch and tracks"""
    length_m: float | None = quantity(None, "m", (0, 10000), usual=(3, 30), label="usable length")
    """usable length, which a ream travels; unless given, what the places take, or 6 m where they
    are not given either"""
    longest_m: float | None = quantity(
        None, "m", (0, 10000), usual=(10, 60), label="longest there is room for"
    )
    """longest bridge there is room for: studies try none that is longer; unless given, 60 m, or the
    length there is"""
    ream_pitch_mm: float = quantity(
        330.0, "mm", (1, 5000), usual=(230, 450), label="length a ream takes"
    )
    """length one ream takes on the belt"""
    tracks: int = quantity(1, legal=(1, 10), usual=(1, 2), label="reams side by side")
    """reams side by side"""
    belt_speed_m_per_min: float = quantity(30.0, "m/min", (0, 1000), usual=(15, 60))
    """belt speed; 0 means that travel takes no time"""
    slow_at_reams: int | None = quantity(None, "reams", (1, None), label="sheeter slows from")
    """from this level the sheeter is slowed"""
    slow_to_fraction: float = quantity(
        0.7, legal=(0.01, 1), usual=(0.5, 0.9), label="slowed speed, part of rated"
    )
    """slowed speed as a fraction of rated"""
    slowing: Literal["at_once", "in_proportion"] = quantity("at_once", label="how it slows")
    """at_once: from slow_at_reams on the sheeter has the slowed speed; in_proportion: the fuller
    the bridge the slower, from rated speed at slow_at_reams to the slowed speed at stop_at_reams,
    or without that on a full bridge: slowed below their pace, it comes to follow the wrappers"""
    stop_at_reams: int | None = quantity(None, "reams", (1, None), label="sheeter stops at")
    """at this level the sheeter is stopped"""
    restart_at_reams: int | None = quantity(None, "reams", (0, None), label="sheeter restarts at")
    """a sheeter stopped by level starts again when the level has fallen to this"""
    catch_up_at_reams: int | None = quantity(None, "reams", (1, None), label="wrappers hurry from")
    """from this level the wrappers run faster than rated"""
    catch_up_factor: float = quantity(
        1.0, legal=(1, 3), usual=(1.05, 1.2), label="how much faster they run"
    )
    """how much faster they run then: rated or drawn, the time for a ream is divided by it"""
    when_full: Literal["wait", "set_aside"] = quantity("wait", label="when it is full")
    """wait: the transfer holds its set; set_aside: reams that find no place are put on a pallet by
    hand and count as lost"""

    quiet = (*Powered.quiet, "slowing")

    @property
    def belt(self) -> Belt:
        return Belt(self.ream_pitch_mm, self.tracks)


class Wrapper(Powered):
    """One wrapper."""

    name: Name = quantity("wrapper")
    """name of this wrapper"""
    rate_reams_per_min: float = quantity(
        30.0, "reams/min", (0.001, 1e7), usual=(15, 70), label="rated speed"
    )
    """rated speed"""
    wrap_s: Law | None = quantity(None, "s", label="time to wrap by hand")
    """time to wrap one ream where it varies (hand work); replaces the rate"""
    roll_length_m: float | None = quantity(
        None, "m", (0.1, 50000), usual=(1000, 6000), label="material on a fresh roll"
    )
    """wrapping material on a fresh roll; none: rolls are not modelled"""
    wrap_length_mm: float | None = quantity(
        None, "mm", (1, 5000), usual=(400, 900), label="material for a ream"
    )
    """material per ream; unless given, girth of the ream plus overlap"""
    wrap_overlap_mm: float = quantity(
        30.0, "mm", (0, 500), usual=(20, 50), label="overlap of the wrap"
    )
    """overlap of the wrap"""
    roll_change: Literal["stop", "splice"] = quantity("stop", label="how rolls are changed")
    """stop: the wrapper stands while the roll is changed; splice: it runs on"""
    roll_change_min: Law = quantity(
        lognormal(4, 1.2), "min", usual=(2, 8), label="time of a roll change"
    )
    """standing time of a roll change"""
    roll_change_people: int = quantity(1, "people", (0, 20), label="people for a roll change")
    """people for a roll change"""
    roll_splice_fail_chance: float = quantity(
        0.0, legal=(0, 1), usual=(0.01, 0.1), label="chance that a roll splice fails"
    )
    """chance that a roll splice fails and the wrapper must stop for the roll after all"""
    spoiled_per_10000: float = quantity(
        0.0, "1/10,000 reams", (0, 10000), usual=(5, 50), label="spoiled wraps"
    )
    """wraps that come out spoiled, per 10,000 reams"""


class Divert(Figures):
    """Which wrapper takes the next ream."""

    rule: Literal["in_turn", "nearest_free", "second_above_level", "hot_standby"] = quantity(
        "nearest_free", label="who takes the next ream"
    )
    """in_turn: one after the other, a standing one is passed over; nearest_free: the first free
    one; second_above_level: the others help from a level; hot_standby: the others work only while
    the first stands"""
    second_at_reams: int | None = quantity(None, "reams", (1, None), label="others help from")
    """bridge level from which the other wrappers help"""


class Rework(Figures):
    """The table where spoiled wraps are opened and wrapped again by hand, or repulped."""

    places: int = quantity(0, "reams", (0, 10000), usual=(5, 40), label="reams that may lie there")
    """reams that may lie there, being worked on or waiting; one more is repulped"""
    rewrap_min: Law = quantity(
        Constant(mean=1.0), "min", usual=(0.5, 3), label="time to wrap again"
    )
    """time to wrap one ream by hand"""
    people: int = quantity(1, "people", (0, 5), label="people for a ream")
    """people for one ream"""
    good_chance: float = quantity(
        1.0, legal=(0, 1), usual=(0.7, 1), label="chance that a ream is saved"
    )
    """chance that the ream can be saved"""
