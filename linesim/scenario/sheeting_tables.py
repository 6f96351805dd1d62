"""The tables of what makes sheets of reels, in the order the paper moves."""

from __future__ import annotations

from typing import Literal

from linesim.scenario.fields import Table, quantity
from linesim.scenario.laws import Law, Lognormal, Triangular


class Product(Table):
    """The sheet and the ream."""

    sheet_width_mm: float = quantity(
        210.0, "sheet size across the web", unit="mm", low=50, high=1500, typical=(210, 305)
    )
    sheet_length_mm: float = quantity(
        297.0,
        "sheet size along the web: the cut length",
        unit="mm",
        low=50,
        high=2000,
        typical=(210, 432),
    )
    sheets_per_ream: int = quantity(
        500, "sheets in a ream", unit="sheets", low=1, high=2000, typical=(250, 500)
    )
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
        1250.0,
        "outer diameter of a fresh reel",
        unit="mm",
        low=200,
        high=2200,
        typical=(1000, 1500),
    )
    diameter_sd_mm: float = quantity(
        15.0,
        "reel-to-reel spread of the diameter (cut at three of it); with 0 the reels keep the"
        " pattern they start in for ever",
        unit="mm",
        low=0,
        high=200,
        typical=(10, 25),
    )
    core_diameter_mm: float = quantity(
        76.0, "outer diameter of the core", unit="mm", low=30, high=400, typical=(76, 152.4)
    )
    mill_joints_per_reel: float = quantity(
        0.0,
        "mean number of joints the mill left in a reel",
        unit="joints/reel",
        low=0,
        high=50,
        typical=(0, 1),
    )
    at_start: Literal["fresh", "staggered", "random"] | None = quantity(
        None,
        "reels when the run starts: random (each part unwound, as found in the long run), evenly"
        " staggered, or all fresh: they run out together, again and again until their spread has"
        " parted them; unless given, as [start] says",
    )


class Unwind(Table):
    """The stands, and how an emptied reel is replaced."""

    webs: int = quantity(
        5, "webs cut on top of each other", unit="webs", low=1, high=20, typical=(3, 10)
    )
    stands_per_web: Literal[1, 2] = quantity(1, "one stand per web, or a pair of them")
    stand_limit_kg: float = quantity(
        2500.0, "heaviest reel a stand takes", unit="kg", low=1, high=20000, typical=(1500, 3000)
    )
    change: Literal["standing_change", "standstill_splice", "flying_splice"] = quantity(
        "standing_change", "how a reel that runs out is replaced"
    )
    change_min: Law = quantity(
        Lognormal(law="lognormal", mean=6, sd=2),
        "standing change: time to swap one reel and join the web",
        unit="min",
        typical=(3, 12),
    )
    change_people: int = quantity(
        1, "people for a standing change of one reel", unit="people", low=0, high=20
    )
    splice_min: Law = quantity(
        Triangular(law="triangular", low=0.5, mode=0.8, high=1.5),
        "standstill splice: standing time",
        unit="min",
        typical=(0.5, 2),
    )
    splice_people: int = quantity(
        0, "people for a standstill splice", unit="people", low=0, high=20
    )
    prepare_min: Law = quantity(
        Lognormal(law="lognormal", mean=9, sd=3),
        "time to prepare an emptied stand with a new reel",
        unit="min",
        typical=(5, 20),
    )
    prepare_people: int = quantity(1, "people to prepare a stand", unit="people", low=0, high=20)
    splice_speed_m_per_min: float = quantity(
        120.0,
        "flying splice: web speed while splicing",
        unit="m/min",
        low=0.1,
        high=1000,
        typical=(60, 200),
    )
    splice_length_m: float = quantity(
        20.0,
        "flying splice: web run at splice speed after the splice",
        unit="m",
        low=0,
        high=500,
        typical=(10, 50),
    )
    splice_fail_chance: float = quantity(
        0.0,
        "chance that a splice (flying or standstill) fails: a web break",
        low=0,
        high=1,
        typical=(0.005, 0.05),
    )
    butt_length_m: float = quantity(
        15.0, "paper left on the core on purpose", unit="m", low=0, high=2000, typical=(5, 60)
    )
    change_together_below_m: float = quantity(
        0.0,
        "when the line stops for one reel, webs with less than this left change in the same"
        " stop; 0 switches it off",
        unit="m",
        low=0,
        high=50000,
        typical=(0, 2000),
    )


class WebPath(Table):
    """From the stands to the knives: guiding, decurling, tension - and web breaks."""

    path_length_m: float = quantity(
        18.0,
        "paper between a stand and the cross-cutter, per web",
        unit="m",
        low=0,
        high=200,
        typical=(10, 40),
    )
    breaks_per_100_reels: float = quantity(
        0.0,
        "web breaks per 100 fresh reels of nominal diameter, at the reference speed",
        unit="1/100 reels",
        low=0,
        high=2000,
        typical=(1, 10),
    )
    break_law: Literal["exponential"] = quantity(
        "exponential", "law of the web length between breaks"
    )
    speed_reference_m_per_min: float = quantity(
        250.0,
        "speed at which the break rate holds",
        unit="m/min",
        low=0.1,
        high=1000,
        typical=(150, 350),
    )
    speed_exponent: float = quantity(
        0.0,
        "break rate grows with (speed / reference) to this power",
        low=0,
        high=10,
        typical=(0, 3),
    )
    break_chance_at_splice: float = quantity(
        0.0, "chance of a break when a splice leaves the stand", low=0, high=1, typical=(0, 0.02)
    )
    break_chance_at_joint: float = quantity(
        0.0, "chance of a break when a mill joint leaves the reel", low=0, high=1, typical=(0, 0.05)
    )
    break_chance_at_restart: float = quantity(
        0.0, "chance, for each web, of a break at a restart", low=0, high=1, typical=(0, 0.005)
    )
    clamp_holds_chance: float = quantity(
        0.7,
        "chance that the clamp holds the tail of a broken web",
        low=0,
        high=1,
        typical=(0.3, 0.9),
    )
    rethread_held_min: Law = quantity(
        Lognormal(law="lognormal", mean=4, sd=1.5),
        "re-threading when the tail is held",
        unit="min",
        typical=(2, 8),
    )
    rethread_lost_min: Law = quantity(
        Lognormal(law="lognormal", mean=14, sd=5),
        "re-threading when the tail is lost",
        unit="min",
        typical=(8, 30),
    )
    rethread_people: int = quantity(1, "people to re-thread a web", unit="people", low=0, high=20)


class Slitter(Table):
    """Slitting into lanes; lanes = pockets."""

    lanes: int = quantity(5, "sheets side by side", unit="lanes", low=1, high=20, typical=(2, 8))
    edge_trim_mm: float = quantity(
        10.0, "trim at each edge of the web", unit="mm", low=0, high=200, typical=(5, 20)
    )


class Cutter(Table):
    """The cross-cutter; it sets the speed of all webs."""

    web_speed_m_per_min: float = quantity(
        250.0, "rated web speed", unit="m/min", low=0.01, high=100000, typical=(100, 350)
    )
    max_cuts_per_min: float = quantity(
        1200.0,
        "most cuts the knives can make",
        unit="cuts/min",
        low=0.01,
        high=1e7,
        typical=(300, 1300),
    )
    run_up_m_per_min_per_s: float = quantity(
        15.0,
        "gain of speed at a start; 0 means at once",
        unit="m/min per s",
        low=0,
        high=1000,
        typical=(5, 40),
    )
    run_down_m_per_min_per_s: float = quantity(
        30.0,
        "loss of speed at a stop; 0 means at once",
        unit="m/min per s",
        low=0,
        high=1000,
        typical=(10, 80),
    )


class Gate(Table):
    """The reject gate: whole cuts (webs x lanes sheets) leave here."""

    cuts_after_stop: int = quantity(
        0, "cuts rejected after each standstill", unit="cuts", low=0, high=100000, typical=(5, 40)
    )
    cuts_per_splice: int = quantity(
        0,
        "cuts rejected around a splice; splices made in one standstill are rejected once",
        unit="cuts",
        low=0,
        high=10000,
        typical=(5, 30),
    )
    cuts_per_joint: int = quantity(
        0, "cuts rejected around a mill joint", unit="cuts", low=0, high=10000, typical=(5, 30)
    )
    defects_per_million_sheets: float = quantity(
        0.0,
        "random defects found per million sheets",
        unit="1/million sheets",
        low=0,
        high=1_000_000,
        typical=(5, 100),
    )
    cuts_per_defect: int = quantity(
        2, "cuts rejected for one defect", unit="cuts", low=1, high=10000, typical=(1, 5)
    )
