"""The tables of what makes wrapped reams of cut sheets, in the order the sheets and reams move."""

from __future__ import annotations

from typing import Literal

from linesim.scenario.fields import Name, Table, quantity
from linesim.scenario.laws import Constant, Law, Lognormal


class OverlapBelt(Table):
    """Overlapped sheets on their way to the pockets; it can hold some back."""

    hold_cuts: int = quantity(
        60,
        "cuts it can hold back while the pockets are not free",
        unit="cuts",
        low=0,
        high=100000,
        typical=(20, 120),
    )


class Pockets(Table):
    """One pocket per lane."""

    interim_fingers: bool = quantity(
        True, "fingers catch the next sheets while the full set is lifted out"
    )


class Transfer(Table):
    """Lifts all full pockets at once and sets the reams on the bridge."""

    pick_s: Law = quantity(Constant(mean=1.0), "grip and lift", unit="s", typical=(0.5, 3))
    carry_s: Law = quantity(Constant(mean=1.5), "carry to the bridge", unit="s", typical=(0.5, 4))
    place_s: Law = quantity(Constant(mean=0.8), "set down", unit="s", typical=(0.3, 2))
    return_s: Law = quantity(Constant(mean=1.5), "go back", unit="s", typical=(0.5, 4))
    paces_webs: bool = quantity(
        True,
        "webs that would fill a set sooner than the transfer is back keep to its pace; false: they"
        " run as rated, and stand or reject cuts until it is back",
    )


class Bridge(Table):
    """The buffer conveyor between transfer and wrappers."""

    places: int | None = quantity(
        None,
        "reams that fit; or give length_m, from which they follow by pitch and tracks",
        unit="reams",
        low=1,
        high=100_000_000,
        typical=(10, 200),
    )
    length_m: float | None = quantity(
        None,
        "usable length, which a ream travels; unless given, what the places take, or 6 m where"
        " they are not given either",
        unit="m",
        low=0,
        high=10000,
        typical=(3, 30),
    )
    longest_m: float | None = quantity(
        None,
        "longest bridge there is room for: studies try none that is longer; unless given, 60 m, or"
        " the length there is",
        unit="m",
        low=0,
        high=10000,
        typical=(10, 60),
    )
    ream_pitch_mm: float = quantity(
        330.0,
        "length one ream takes on the belt",
        unit="mm",
        low=1,
        high=5000,
        typical=(230, 450),
    )
    tracks: int = quantity(1, "reams side by side", low=1, high=10, typical=(1, 2))
    belt_speed_m_per_min: float = quantity(
        30.0,
        "belt speed; 0 means that travel takes no time",
        unit="m/min",
        low=0,
        high=1000,
        typical=(15, 60),
    )
    slow_at_reams: int | None = quantity(
        None, "from this level the sheeter is slowed", unit="reams", low=1
    )
    slow_to_fraction: float = quantity(
        0.7, "slowed speed as a fraction of rated", low=0.01, high=1, typical=(0.5, 0.9)
    )
    stop_at_reams: int | None = quantity(
        None, "at this level the sheeter is stopped", unit="reams", low=1
    )
    restart_at_reams: int | None = quantity(
        None,
        "a sheeter stopped by level starts again when the level has fallen to this",
        unit="reams",
        low=0,
    )
    catch_up_at_reams: int | None = quantity(
        None, "from this level the wrappers run faster than rated", unit="reams", low=1
    )
    catch_up_factor: float = quantity(
        1.0,
        "how much faster they run then: rated or drawn, the time for a ream is divided by it",
        low=1,
        high=3,
        typical=(1.05, 1.2),
    )
    when_full: Literal["wait", "set_aside"] = quantity(
        "wait",
        "wait: the transfer holds its set; set_aside: reams that find no place are put on"
        " a pallet by hand and count as lost",
    )

    def places_within(self, length_m: float) -> int:
        """Reams that fit on a belt of that length, by pitch and tracks."""
        return int(length_m * 1000 / self.ream_pitch_mm + 1e-9) * self.tracks

    def length_for(self, places: int) -> float:
        """Length in m of the shortest belt with so many places."""
        return -(-places // self.tracks) * self.ream_pitch_mm / 1000


class Wrapper(Table):
    """One wrapper."""

    name: Name = quantity("wrapper", "name of this wrapper")
    rate_reams_per_min: float = quantity(
        30.0, "rated speed", unit="reams/min", low=0.001, high=1e7, typical=(15, 70)
    )
    wrap_s: Law | None = quantity(
        None, "time to wrap one ream where it varies (hand work); replaces the rate", unit="s"
    )
    roll_length_m: float | None = quantity(
        None,
        "wrapping material on a fresh roll; none: rolls are not modelled",
        unit="m",
        low=0.1,
        high=50000,
        typical=(1000, 6000),
    )
    wrap_length_mm: float | None = quantity(
        None,
        "material per ream; unless given, girth of the ream plus overlap",
        unit="mm",
        low=1,
        high=5000,
        typical=(400, 900),
    )
    wrap_overlap_mm: float = quantity(
        30.0, "overlap of the wrap", unit="mm", low=0, high=500, typical=(20, 50)
    )
    roll_change: Literal["stop", "splice"] = quantity(
        "stop", "stop: the wrapper stands while the roll is changed; splice: it runs on"
    )
    roll_change_min: Law = quantity(
        Lognormal(law="lognormal", mean=4, sd=1.2),
        "standing time of a roll change",
        unit="min",
        typical=(2, 8),
    )
    roll_change_people: int = quantity(1, "people for a roll change", unit="people", low=0, high=20)
    roll_splice_fail_chance: float = quantity(
        0.0,
        "chance that a roll splice fails and the wrapper must stop for the roll after all",
        low=0,
        high=1,
        typical=(0.01, 0.1),
    )
    spoiled_per_10000: float = quantity(
        0.0,
        "wraps that come out spoiled, per 10,000 reams",
        unit="1/10,000 reams",
        low=0,
        high=10000,
        typical=(5, 50),
    )


class Divert(Table):
    """Which wrapper takes the next ream."""

    rule: Literal["in_turn", "nearest_free", "second_above_level", "hot_standby"] = quantity(
        "nearest_free",
        "in_turn: one after the other, a standing one is passed over; nearest_free: the first"
        " free one; second_above_level: the others help from a level; hot_standby: the others"
        " work only while the first stands",
    )
    second_at_reams: int | None = quantity(
        None, "bridge level from which the other wrappers help", unit="reams", low=1
    )


class Rework(Table):
    """The table where spoiled wraps are opened and wrapped again by hand, or repulped."""

    places: int = quantity(
        0,
        "reams that may lie there, being worked on or waiting; one more is repulped",
        unit="reams",
        low=0,
        high=10000,
        typical=(5, 40),
    )
    rewrap_min: Law = quantity(
        Constant(mean=1.0), "time to wrap one ream by hand", unit="min", typical=(0.5, 3)
    )
    people: int = quantity(1, "people for one ream", unit="people", low=0, high=5)
    good_chance: float = quantity(
        1.0, "chance that the ream can be saved", low=0, high=1, typical=(0.7, 1)
    )
