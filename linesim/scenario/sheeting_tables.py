"""The tables of what makes sheets of reels, in the order the paper moves."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from linesim.scenario.fields import Figures, Name, Powered, quantity
from linesim.scenario.laws import Law, Triangular, lognormal


class Product(Figures):
    """The sheet and the ream."""

    sheet_width_mm: float = quantity(210.0, "mm", (50, 1500), usual=(210, 305))
    """sheet size across the web"""
    sheet_length_mm: float = quantity(297.0, "mm", (50, 2000), usual=(210, 432))
    """sheet size along the web: the cut length"""
    sheets_per_ream: int = quantity(500, "sheets", (1, 2000), usual=(250, 500))
    """sheets in a ream"""
    counting: Literal["exact", "round_up"] = quantity("exact", label="counting of sheets")
    """exact: the webs must divide the ream; round_up: every ream gets the next whole number of
    cuts, the extra sheets are given away"""
    grammage_g_per_m2: float = quantity(80.0, "g/m2", (20, 600), usual=(60, 160))
    """mass of a square metre (ISO 536)"""
    thickness_um: float = quantity(
        104.0, "um", (20, 1000), usual=(75, 200), label="thickness of a sheet"
    )
    """thickness of one sheet (ISO 534)"""
    grade: Name | None = quantity(None)
    """name of a grade, whose grammage and thickness are meant where none stand here"""
    size: Name | None = quantity(None)
    """name of a size, whose sheet and lanes are meant where none stand here and in [slitter]"""

    quiet = (*Figures.quiet, "grade", "size")


class Reels(Figures):
    """The reels that feed the line."""

    diameter_mm: float = quantity(
        1250.0, "mm", (200, 2200), usual=(1000, 1500), label="diameter of a fresh reel"
    )
    """outer diameter of a fresh reel"""
    diameter_sd_mm: float = quantity(
        15.0, "mm", (0, 200), usual=(10, 25), label="spread of the diameter (sd)"
    )
    """reel-to-reel spread of the diameter (cut at three of it); with 0 the reels keep the pattern
    they start in for ever"""
    core_diameter_mm: float = quantity(
        76.0, "mm", (30, 400), usual=(76, 152.4), label="diameter of the core"
    )
    """outer diameter of the core"""
    width_mm: float | None = quantity(
        None, "mm", (50, 6000), usual=(600, 2000), label="width of the web as bought"
    )
    """width of the web as bought: what the lanes leave of it is trim, half at each edge; unless
    given, lanes and edge_trim_mm make the width"""
    mill_joints_per_reel: float = quantity(
        0.0, "joints/reel", (0, 50), usual=(0, 1), label="mill joints in a reel"
    )
    """mean number of joints the mill left in a reel, anywhere in it"""
    mill_joints_at_m: tuple[Annotated[float, Field(ge=0, le=50_000)], ...] = quantity(
        (), "m", most=50, label="places of mill joints"
    )
    """where the mill left its joints in every reel, by length from the outside; unless given, they
    are anywhere"""
    bad_share: float = quantity(0.0, "", (0, 1), usual=(0.05, 0.1), label="share of bad reels")
    """share of reels that are bad: their webs break oftener, so that breaks cluster within a reel;
    breaks_per_100_reels in [web_path] stays the mean over good and bad"""
    bad_breaks_factor: float = quantity(
        5.0, "", (1, 1000), usual=(5, 10), label="a bad reel breaks so many times as often"
    )
    """how many times as often as a good one a bad reel breaks, for the same length of web"""
    at_start: Literal["fresh", "staggered", "random"] | None = quantity(
        None, label="reels when the run starts"
    )
    """reels when the run starts: random (each part unwound), evenly staggered, or all fresh: they
    run out together, again and again until their spread has parted them; unless given, as [start]
    says, all part unwound alike where they are changed together"""

    quiet = (*Figures.quiet, "width_mm", "mill_joints_at_m", "bad_share", "bad_breaks_factor")


class Unwind(Powered):
    """The stands, and how an emptied reel is replaced."""

    webs: int = quantity(5, "webs", (1, 20), usual=(3, 10), label="webs run together")
    """webs cut on top of each other"""
    stands_per_web: Literal[1, 2] = quantity(1, label="stands for each web")
    """one stand per web, or a pair of them"""
    spare_stands: int | None = quantity(
        None, "stands", (1, 40), usual=(1, 5), label="spare stands for all webs"
    )
    """stands beside one for each web: a prepared one takes over for whichever web runs out, and
    the emptied one is prepared to be the next spare; none: there are none"""
    stand_limit_kg: float = quantity(
        2500.0, "kg", (1, 20000), usual=(1500, 3000), label="heaviest reel of a stand"
    )
    """heaviest reel a stand takes"""
    change: Literal["standing_change", "standstill_splice", "flying_splice"] = quantity(
        "standing_change", label="how reels are changed"
    )
    """how a reel that runs out is replaced"""
    change_min: Law = quantity(
        lognormal(6, 2), "min", usual=(3, 12), label="time of a standing change"
    )
    """standing change: time to swap one reel and join the web"""
    change_people: int = quantity(1, "people", (0, 20), label="people for a standing change")
    """people for a standing change of one reel"""
    splice_min: Law = quantity(
        Triangular(law="triangular", low=0.5, mode=0.8, high=1.5),
        "min",
        usual=(0.5, 2),
        label="time of a standstill splice",
    )
    """standstill splice: standing time"""
    splice_people: int = quantity(0, "people", (0, 20), label="people for a standstill splice")
    """people for a standstill splice"""
    prepare_min: Law = quantity(
        lognormal(9, 3), "min", usual=(5, 20), label="time to prepare a stand"
    )
    """time to prepare an emptied stand with a new reel"""
    prepare_people: int = quantity(1, "people", (0, 20), label="people to prepare a stand")
    """people to prepare a stand"""
    splice_speed_m_per_min: float = quantity(
        120.0, "m/min", (0.1, 1000), usual=(60, 200), label="speed at a flying splice"
    )
    """flying splice: web speed while splicing"""
    splice_length_m: float = quantity(
        20.0, "m", (0, 500), usual=(10, 50), label="web run at splice speed"
    )
    """flying splice: web run at splice speed after the splice"""
    splice_fail_chance: float = quantity(
        0.0, legal=(0, 1), usual=(0.005, 0.05), label="chance that a splice fails"
    )
    """chance that a splice (flying or standstill) fails: a web break"""
    butt_length_m: float = quantity(
        15.0, "m", (0, 2000), usual=(5, 60), label="paper left on the core"
    )
    """paper left on the core on purpose"""
    change_together_below_m: float | None = quantity(
        None, "m", (0, 50000), usual=(0, 2000), label="change together below"
    )
    """when the line stops for one reel, webs with less than this left change in the same stop; 0
    switches it off; unless given, standing changes are made on all webs whose reels went on
    together, whatever their spread leaves on them, and with other changes it is off"""

    quiet = (*Powered.quiet, "spare_stands")

    @property
    def prepares_stands(self) -> bool:
        """The next reel of a web is on another stand, prepared: a second one, or a spare."""
        return self.stands_per_web == 2 or self.spare_stands is not None

    @property
    def stands(self) -> int:
        """All of them."""
        return self.webs * self.stands_per_web + (self.spare_stands or 0)


class WebPath(Powered):
    """From the stands to the knives: guiding, decurling, tension - and web breaks."""

    path_length_m: float = quantity(18.0, "m", (0, 200), usual=(10, 40), label="length of the path")
    """paper between a stand and the cross-cutter, per web"""
    breaks_per_100_reels: float = quantity(
        0.0, "1/100 reels", (0, 2000), usual=(1, 10), label="web breaks"
    )
    """web breaks per 100 fresh reels of nominal diameter, at the reference speed; the mean over
    good and bad reels"""
    break_law: Literal["exponential"] = quantity("exponential", label="law of the breaks")
    """law of the web length between breaks"""
    speed_reference_m_per_min: float = quantity(
        250.0, "m/min", (0.1, 1000), usual=(150, 350), label="speed the breaks were counted at"
    )
    """speed at which the break rate holds"""
    speed_exponent: float = quantity(
        0.0, legal=(0, 10), usual=(0, 3), label="rise of breaks with speed (power)"
    )
    """break rate grows with (speed / reference) to this power"""
    break_chance_at_splice: float = quantity(
        0.0, legal=(0, 1), usual=(0, 0.02), label="chance of a break at a splice"
    )
    """chance of a break when a splice leaves the stand"""
    break_chance_at_joint: float = quantity(
        0.0, legal=(0, 1), usual=(0, 0.05), label="chance of a break at a mill joint"
    )
    """chance of a break when a mill joint leaves the reel"""
    break_chance_at_restart: float = quantity(
        0.0, legal=(0, 1), usual=(0, 0.005), label="chance of a break at a restart"
    )
    """chance, for each web, of a break at a restart"""
    clamp_holds_chance: float = quantity(
        0.7, legal=(0, 1), usual=(0.3, 0.9), label="chance that the clamp holds the tail"
    )
    """chance that the clamp holds the tail of a broken web"""
    rethread_held_min: Law = quantity(
        lognormal(4, 1.5), "min", usual=(2, 8), label="time to re-thread a held tail"
    )
    """re-threading when the tail is held"""
    rethread_lost_min: Law = quantity(
        lognormal(14, 5), "min", usual=(8, 30), label="time to re-thread a lost tail"
    )
    """re-threading when the tail is lost"""
    rethread_people: int = quantity(1, "people", (0, 20), label="people to re-thread")
    """people to re-thread a web"""


class Slitter(Powered):
    """Slitting into lanes; lanes = pockets."""

    lanes: int = quantity(5, "lanes", (1, 20), usual=(2, 8))
    """sheets side by side"""
    edge_trim_mm: float | None = quantity(None, "mm", (0, 200), usual=(5, 20))
    """trim at each edge of the web; unless given, half of what the lanes leave of width_mm in
    [reels], or 10 mm where that is not given either"""


class Cutter(Powered):
    """The cross-cutter; it sets the speed of all webs."""

    web_speed_m_per_min: float = quantity(250.0, "m/min", (0.01, 100000), usual=(100, 350))
    """rated web speed"""
    max_cuts_per_min: float = quantity(
        1200.0, "cuts/min", (0.01, 1e7), usual=(300, 1300), label="most cuts the knives can make"
    )
    """most cuts the knives can make"""
    run_up_m_per_min_per_s: float = quantity(
        15.0, "m/min per s", (0, 1000), usual=(5, 40), label="gain of speed at a start"
    )
    """gain of speed at a start; 0 means at once"""
    run_down_m_per_min_per_s: float = quantity(
        30.0, "m/min per s", (0, 1000), usual=(10, 80), label="loss of speed at a stop"
    )
    """loss of speed at a stop; 0 means at once"""
    hand_ramp_fractions: tuple[Annotated[float, Field(ge=0.01, le=1)], ...] = quantity(
        (), most=20, label="steps of a ramp by hand, of rated speed"
    )
    """speeds of the steps in which the crew brings the webs up after a web break or a change of
    paper; none: the webs run up as after any stop"""
    hand_ramp_min: tuple[Annotated[float, Field(gt=0, le=600)], ...] = quantity(
        (), "min", most=20, label="minutes of the steps"
    )
    """minutes of each step, the run-up to it among them"""
    hand_ramp_after_min: float | None = quantity(
        None, "min", (0, 100_000), usual=(10, 120), label="by hand after a standstill of"
    )
    """the crew does so after any standstill of at least this, too; unless given, only after those
    in which webs were threaded"""
    hand_ramp_rejects: bool = quantity(False, label="what is cut in it is rejected")
    """whether all that is cut in the ramp leaves at the gate"""

    quiet = (
        *Powered.quiet,
        "hand_ramp_fractions",
        "hand_ramp_min",
        "hand_ramp_after_min",
        "hand_ramp_rejects",
    )


class Gate(Powered):
    """The reject gate: whole cuts (webs x lanes sheets) leave here."""

    cuts_after_stop: int = quantity(
        0, "cuts", (0, 100000), usual=(5, 40), label="cuts rejected after a standstill"
    )
    """cuts rejected after each standstill"""
    cuts_per_splice: int = quantity(
        0, "cuts", (0, 10000), usual=(5, 30), label="cuts rejected at a splice"
    )
    """cuts rejected around a splice; splices made in one standstill are rejected once"""
    cuts_per_joint: int = quantity(
        0, "cuts", (0, 10000), usual=(5, 30), label="cuts rejected at a mill joint"
    )
    """cuts rejected around a mill joint"""
    defects_per_million_sheets: float = quantity(
        0.0, "1/million sheets", (0, 1_000_000), usual=(5, 100), label="random defects"
    )
    """random defects found per million sheets"""
    cuts_per_defect: int = quantity(
        2, "cuts", (1, 10000), usual=(1, 5), label="cuts rejected for a defect"
    )
    """cuts rejected for one defect"""
