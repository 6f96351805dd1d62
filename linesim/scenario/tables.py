"""The tables of a scenario file, one per part of the line, in the order the material moves."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from linesim.scenario.fields import Table, quantity
from linesim.scenario.laws import Constant, Law, Lognormal, Triangular

Name = Annotated[str, Field(min_length=1, max_length=60, pattern=r"^[^\x00-\x1f]+$")]


class LineTable(Table):
    """What the scenario is called and whether its figures are invented."""

    name: Name = quantity("unnamed line", "name of the line or of this variant")
    note: str = quantity("", "what this scenario is for")
    invented: bool = quantity(False, "true for demo data that describes no real line")
    shift_hours: float = quantity(
        8.0, "length of a shift; what a run covers unless told", unit="h", above=0, high=24,
        typical=(8, 12),
    )
    minor_stop_minutes: float = quantity(
        5.0, "a standstill shorter than this is a minor stop", unit="min", low=0, high=120,
        typical=(2, 10),
    )


class Product(Table):
    """The sheet and the ream."""

    sheet_width_mm: float = quantity(
        210.0, "sheet size across the web", unit="mm", low=50, high=1500, typical=(210, 305)
    )
    sheet_length_mm: float = quantity(
        297.0, "sheet size along the web: the cut length", unit="mm", low=50, high=2000,
        typical=(210, 432),
    )
    sheets_per_ream: int = quantity(500, "sheets in a ream", low=1, high=2000, typical=(250, 500))
    counting: Literal["exact", "round_up"] = quantity(
        "exact",
        "exact: the webs must divide the ream; round_up: every ream gets the next whole number"
        " of cuts, the extra sheets are given away",
    )
    grammage_g_per_m2: float = quantity(
        80.0, "mass of a square metre (ISO 536)", unit="g/m2", low=20, high=600, typical=(60, 160)
    )
    thickness_um: float = quantity(
        104.0, "thickness of one sheet (ISO 534)", unit="um", low=20, high=1000, typical=(75, 200)
    )


class Reels(Table):
    """The reels that feed the line."""

    diameter_mm: float = quantity(
        1250.0, "outer diameter of a fresh reel", unit="mm", low=200, high=2200,
        typical=(1000, 1500),
    )
    diameter_sd_mm: float = quantity(
        0.0, "reel-to-reel spread of the diameter (cut at three of it)", unit="mm", low=0,
        high=200, typical=(0, 30),
    )
    core_diameter_mm: float = quantity(
        76.0, "outer diameter of the core", unit="mm", low=30, high=400, typical=(76, 152.4)
    )
    mill_joints_per_reel: float = quantity(
        0.0, "mean number of joints the mill left in a reel", low=0, high=50, typical=(0, 1)
    )
    at_start: Literal["fresh", "staggered", "random"] = quantity(
        "staggered",
        "reels when the run starts: all fresh (they run out together), evenly staggered, or"
        " anywhere",
    )


class Unwind(Table):
    """The stands, and how an emptied reel is replaced."""

    webs: int = quantity(5, "webs cut on top of each other", low=1, high=20, typical=(3, 10))
    stands_per_web: Literal[1, 2] = quantity(1, "one stand per web, or a pair of them")
    stand_limit_kg: float = quantity(
        2500.0, "heaviest reel a stand takes", unit="kg", above=0, high=20000, typical=(1500, 3000)
    )
    change: Literal["standing_change", "standstill_splice", "flying_splice"] = quantity(
        "standing_change", "how a reel that runs out is replaced"
    )
    change_min: Law = quantity(
        Lognormal(law="lognormal", mean=6, sd=2),
        "standing change: time to swap one reel and join the web", unit="min", typical=(3, 12),
    )
    change_people: int = quantity(1, "people for a standing change of one reel", low=0, high=20)
    splice_min: Law = quantity(
        Triangular(law="triangular", low=0.5, mode=0.8, high=1.5),
        "standstill splice: standing time", unit="min", typical=(0.5, 2),
    )
    splice_people: int = quantity(0, "people for a standstill splice", low=0, high=20)
    prepare_min: Law = quantity(
        Lognormal(law="lognormal", mean=9, sd=3),
        "time to prepare an emptied stand with a new reel", unit="min", typical=(5, 20),
    )
    prepare_people: int = quantity(1, "people to prepare a stand", low=0, high=20)
    splice_speed_m_per_min: float = quantity(
        120.0, "flying splice: web speed while splicing", unit="m/min", above=0, high=1000,
        typical=(60, 200),
    )
    splice_length_m: float = quantity(
        20.0, "flying splice: web run at splice speed after the splice", unit="m", low=0,
        high=500, typical=(10, 50),
    )
    splice_fail_chance: float = quantity(
        0.0, "chance that a splice (flying or standstill) fails: a web break", low=0, high=1,
        typical=(0.005, 0.05),
    )
    butt_length_m: float = quantity(
        15.0, "paper left on the core on purpose", unit="m", low=0, high=2000, typical=(5, 60)
    )
    change_together_below_m: float = quantity(
        0.0, "when the line stops for one reel, webs with less than this left change in the same"
        " stop; 0 switches it off", unit="m", low=0, high=50000, typical=(0, 2000),
    )


class WebPath(Table):
    """From the stands to the knives: guiding, decurling, tension - and web breaks."""

    path_length_m: float = quantity(
        18.0, "paper between a stand and the cross-cutter, per web", unit="m", low=0, high=200,
        typical=(10, 40),
    )
    breaks_per_100_reels: float = quantity(
        0.0, "web breaks per 100 fresh reels of nominal diameter, at the reference speed", low=0,
        high=2000, typical=(1, 10),
    )
    break_law: Literal["exponential"] = quantity(
        "exponential", "law of the web length between breaks"
    )
    speed_reference_m_per_min: float = quantity(
        250.0, "speed at which the break rate holds", unit="m/min", above=0, high=1000,
        typical=(150, 350),
    )
    speed_exponent: float = quantity(
        0.0, "break rate grows with (speed / reference) to this power", low=0, high=10,
        typical=(0, 3),
    )
    break_chance_at_splice: float = quantity(
        0.0, "chance of a break when a splice leaves the stand", low=0, high=1, typical=(0, 0.02)
    )
    break_chance_at_joint: float = quantity(
        0.0, "chance of a break when a mill joint leaves the reel", low=0, high=1,
        typical=(0, 0.05),
    )
    break_chance_at_restart: float = quantity(
        0.0, "chance, for each web, of a break at a restart", low=0, high=1, typical=(0, 0.005)
    )
    clamp_holds_chance: float = quantity(
        0.7, "chance that the clamp holds the tail of a broken web", low=0, high=1,
        typical=(0.3, 0.9),
    )
    rethread_held_min: Law = quantity(
        Lognormal(law="lognormal", mean=4, sd=1.5), "re-threading when the tail is held",
        unit="min", typical=(2, 8),
    )
    rethread_lost_min: Law = quantity(
        Lognormal(law="lognormal", mean=14, sd=5), "re-threading when the tail is lost",
        unit="min", typical=(8, 30),
    )
    rethread_people: int = quantity(1, "people to re-thread a web", low=0, high=20)


class Slitter(Table):
    """Slitting into lanes; lanes = pockets."""

    lanes: int = quantity(5, "sheets side by side", low=1, high=20, typical=(2, 8))
    edge_trim_mm: float = quantity(
        10.0, "trim at each edge of the web", unit="mm", low=0, high=200, typical=(5, 20)
    )


class Cutter(Table):
    """The cross-cutter; it sets the speed of all webs."""

    web_speed_m_per_min: float = quantity(
        250.0, "rated web speed", unit="m/min", above=0, high=100000, typical=(100, 350)
    )
    max_cuts_per_min: float = quantity(
        1200.0, "most cuts the knives can make", unit="cuts/min", above=0, high=1e7,
        typical=(300, 1300),
    )
    run_up_m_per_min_per_s: float = quantity(
        15.0, "gain of speed at a start; 0 means at once", unit="m/min per s", low=0, high=1000,
        typical=(5, 40),
    )
    run_down_m_per_min_per_s: float = quantity(
        30.0, "loss of speed at a stop; 0 means at once", unit="m/min per s", low=0, high=1000,
        typical=(10, 80),
    )


class Gate(Table):
    """The reject gate: whole cuts (webs x lanes sheets) leave here."""

    cuts_after_stop: int = quantity(
        0, "cuts rejected after each standstill", low=0, high=100000, typical=(5, 40)
    )
    cuts_per_splice: int = quantity(
        0, "cuts rejected around a splice", low=0, high=10000, typical=(5, 30)
    )
    cuts_per_joint: int = quantity(
        0, "cuts rejected around a mill joint", low=0, high=10000, typical=(5, 30)
    )
    defects_per_million_sheets: float = quantity(
        0.0, "random defects found per million sheets", low=0, high=1_000_000, typical=(5, 100)
    )
    cuts_per_defect: int = quantity(
        2, "cuts rejected for one defect", low=1, high=10000, typical=(1, 5)
    )


class OverlapBelt(Table):
    """Overlapped sheets on their way to the pockets; it can hold some back."""

    hold_cuts: int = quantity(
        60, "cuts it can hold back while the pockets are not free", unit="cuts", low=0,
        high=100000, typical=(20, 120),
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


class Bridge(Table):
    """The buffer conveyor between transfer and wrappers."""

    places: int | None = quantity(
        None, "reams that fit; or give length, pitch and tracks", unit="reams", low=1,
        high=100_000_000, typical=(10, 200),
    )
    length_m: float = quantity(
        6.0, "usable length", unit="m", low=0, high=10000, typical=(3, 30)
    )
    ream_pitch_mm: float = quantity(
        330.0, "length one ream takes on the belt", unit="mm", above=0, high=5000,
        typical=(230, 450),
    )
    tracks: int = quantity(1, "reams side by side", low=1, high=10, typical=(1, 2))
    belt_speed_m_per_min: float = quantity(
        30.0, "belt speed; 0 means that travel takes no time", unit="m/min", low=0, high=1000,
        typical=(15, 60),
    )
    slow_at_reams: int | None = quantity(
        None, "from this level the sheeter is slowed", unit="reams", low=1
    )
    slow_to_fraction: float = quantity(
        0.7, "slowed speed as a fraction of rated", above=0, high=1, typical=(0.5, 0.9)
    )
    stop_at_reams: int | None = quantity(
        None, "at this level the sheeter is stopped", unit="reams", low=1
    )
    restart_at_reams: int | None = quantity(
        None, "a sheeter stopped by level starts again when the level has fallen to this",
        unit="reams", low=0,
    )
    catch_up_at_reams: int | None = quantity(
        None, "from this level the wrappers run faster than rated", unit="reams", low=1
    )
    catch_up_factor: float = quantity(
        1.0, "how much faster they run then", low=1, high=3, typical=(1.05, 1.2)
    )
    when_full: Literal["wait", "set_aside"] = quantity(
        "wait", "wait: the transfer holds its set; set_aside: reams that find no place are put on"
        " a pallet by hand and count as lost",
    )


class Wrapper(Table):
    """One wrapper."""

    name: Name = quantity("wrapper", "name of this wrapper")
    rate_reams_per_min: float = quantity(
        30.0, "rated speed", unit="reams/min", above=0, high=1e7, typical=(15, 70)
    )
    wrap_s: Law | None = quantity(
        None, "time to wrap one ream where it varies (hand work); replaces the rate", unit="s"
    )
    roll_length_m: float | None = quantity(
        None, "wrapping material on a fresh roll; none: rolls are not modelled", unit="m",
        above=0, high=50000, typical=(1000, 6000),
    )
    wrap_length_mm: float | None = quantity(
        None, "material per ream; unless given, girth of the ream plus overlap", unit="mm",
        above=0, high=5000, typical=(400, 900),
    )
    wrap_overlap_mm: float = quantity(
        30.0, "overlap of the wrap", unit="mm", low=0, high=500, typical=(20, 50)
    )
    roll_change: Literal["stop", "splice"] = quantity(
        "stop", "stop: the wrapper stands while the roll is changed; splice: it runs on"
    )
    roll_change_min: Law = quantity(
        Lognormal(law="lognormal", mean=4, sd=1.2), "standing time of a roll change", unit="min",
        typical=(2, 8),
    )
    roll_change_people: int = quantity(1, "people for a roll change", low=0, high=20)
    roll_splice_fail_chance: float = quantity(
        0.0, "chance that a roll splice fails and the wrapper must stop for the roll after all",
        low=0, high=1, typical=(0.01, 0.1),
    )
    spoiled_per_10000: float = quantity(
        0.0, "wraps that come out spoiled, per 10,000 reams", low=0, high=10000, typical=(5, 50)
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
        0, "reams that may lie there, being worked on or waiting; one more is repulped",
        unit="reams", low=0, high=10000, typical=(5, 40),
    )
    rewrap_min: Law = quantity(
        Constant(mean=1.0), "time to wrap one ream by hand", unit="min", typical=(0.5, 3)
    )
    people: int = quantity(1, "people for one ream", low=0, high=5)
    good_chance: float = quantity(
        1.0, "chance that the ream can be saved", low=0, high=1, typical=(0.7, 1)
    )


class Outfeed(Table):
    """What takes the wrapped reams (boxing, pallets), with a small buffer before it."""

    rate_reams_per_min: float = quantity(
        40.0, "rated speed", unit="reams/min", above=0, high=1e7, typical=(20, 100)
    )
    buffer_reams: int = quantity(
        10, "wrapped reams that may wait before it", unit="reams", low=0, high=1_000_000,
        typical=(5, 40),
    )


class Crew(Table):
    """The people who run the line. Jobs queue by priority, then by time."""

    size: int = quantity(3, "people at the line", low=0, high=100, typical=(2, 6))
    priority_standing_line: int = quantity(
        1, "priority of a job for which the webs stand (1 is first)", low=1, high=9
    )
    priority_standing_wrapper: int = quantity(
        2, "priority of a job for which transfer, bridge, a wrapper or the outfeed stands",
        low=1, high=9,
    )
    priority_prepare: int = quantity(5, "priority of preparing a stand", low=1, high=9)
    priority_rework: int = quantity(8, "priority of rework", low=1, high=9)


class Break(Table):
    """A pause of the crew."""

    start_h: float = quantity(..., "start, hours into the shift", unit="h", low=0, high=24)
    minutes: float = quantity(..., "length", unit="min", above=0, high=720, typical=(10, 45))
    line: Literal["stands", "relieved"] = quantity(
        "stands", "whether the line stands or is relieved meanwhile"
    )


class PlannedWork(Table):
    """Planned maintenance or cleaning, on the calendar."""

    name: Name = quantity(..., "what is done")
    start_h: float = quantity(
        ..., "first start, hours after the run starts", unit="h", low=0, high=100000
    )
    every_h: float | None = quantity(
        None, "repeated after so many hours", unit="h", above=0, high=100000, typical=(8, 168)
    )
    minutes: float = quantity(..., "length", unit="min", above=0, high=20000)
    people: int = quantity(0, "people it takes while it lasts", low=0, high=20)


class Calendar(Table):
    """Shifts, breaks and planned work. Without it the line is manned all the time."""

    shifts_per_day: int | None = quantity(
        None, "shifts worked each day; unless given, as many as fit in 24 h", low=1, high=24
    )
    days_per_week: int = quantity(7, "days worked each week, from the first", low=1, high=7)


class Changeover(Table):
    """Times between orders, by what changes."""

    grade_min: Law = quantity(
        Lognormal(law="lognormal", mean=15, sd=4), "another grade: new reels on every stand",
        unit="min", typical=(8, 40),
    )
    size_min: Law = quantity(
        Lognormal(law="lognormal", mean=40, sd=10), "another sheet size: the line is run empty"
        " first", unit="min", typical=(20, 90),
    )
    people: int = quantity(2, "people for a change-over", low=0, high=20)


class Order(Table):
    """One order of the sequence; what is left out stays as in [product] and [slitter]."""

    name: Name = quantity(..., "name of the order")
    reams: int = quantity(..., "reams to make", unit="reams", low=1, high=100_000_000)
    due_h: float | None = quantity(
        None, "due, hours after the run starts", unit="h", above=0, high=100000
    )
    grammage_g_per_m2: float | None = quantity(
        None, "grammage", unit="g/m2", low=20, high=600
    )
    thickness_um: float | None = quantity(None, "thickness", unit="um", low=20, high=1000)
    sheet_width_mm: float | None = quantity(None, "sheet width", unit="mm", low=50, high=1500)
    sheet_length_mm: float | None = quantity(None, "sheet length", unit="mm", low=50, high=2000)
    lanes: int | None = quantity(None, "lanes", low=1, high=20)


class Money(Table):
    """What paper, time and machines cost; all in one currency of the user's."""

    contribution_per_ream: float = quantity(
        0.0, "price less everything that rises with each ream", unit="money/ream", low=0, high=1e6
    )
    ream_place_cost: float = quantity(
        0.0, "cost of one more place on the bridge", unit="money/place", low=0, high=1e9
    )
    demand_reams_per_year: float | None = quantity(
        None, "what the market takes; unless given, everything is sold", unit="reams/year",
        low=0, high=1e12,
    )
    hours_per_year: float = quantity(
        6000.0, "hours the line is manned in a year", unit="h/year", above=0, high=8784,
        typical=(3500, 8400),
    )
    paper_cost_per_t: float = quantity(0.0, "paper", unit="money/t", low=0, high=1e6)
    repulp_value_per_t: float = quantity(
        0.0, "what waste paper brings", unit="money/t", low=0, high=1e6
    )
    discount_rate: float = quantity(
        0.08, "discount rate a year", unit="1/year", low=0, high=1, typical=(0.04, 0.15)
    )
    wrapper_price: float = quantity(
        0.0, "a further wrapper, installed", unit="money", low=0, high=1e12
    )
    wrapper_cost_per_year: float = quantity(
        0.0, "running cost of a further wrapper", unit="money/year", low=0, high=1e12
    )
