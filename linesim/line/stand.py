"""The reels of a web, and the stand, or pair of stands, that they are on.

The k-th reel of a web has the k-th row of luck, whatever happened before. A row is a draw for the
diameter, one for the number of joints and a few for where they are. A reel with more joints than a
row has places takes the rest from a stream of its own, so that the next reel's luck does not move.

A place on the webs is the length (um) that has passed the knives. A reel ends at the place at
which its paper would leave the stand; lost paper brings that end nearer.
"""

from __future__ import annotations

from dataclasses import dataclass
from threading import Lock
from typing import Any

import numpy as np
import scipy
from numpy.typing import NDArray

from linesim import paper
from linesim.line.chance import NOTHING, Chance, Kept, Stream, draw
from linesim.line.clock import NEVER, PREPARED, REEL_REPLACED
from linesim.line.crew import Job, ask, new_job
from linesim.line.history import note_reel_moved
from linesim.line.line import Line, Site
from linesim.line.typed import Aside, Row, outside
from linesim.scenario import Scenario
from linesim.scenario.units import MINUTE

MORE_REELS = 2
"""What Python is asked for when the reels of a web are used up."""

_SPREAD_CUT = 3.0
_JOINTS_IN_ROW = 6
_FIRST_ROWS, _MOST_ROWS = 4, 64


@dataclass(frozen=True)
class Reel:
    """A reel as it comes from the store."""

    length_um: int
    joints_um: tuple[int, ...]
    """Distances of joints from the outer end, rising."""


class ReelStore:
    """The reels of one web, made of paper of one thickness."""

    def __init__(self, scenario: Scenario, chance: Chance, web: int) -> None:
        self._reels = scenario.reels
        self._chance = chance
        self._web = f"web {web + 1}"
        self._bits = chance.bits("unwind", self._web, "reels")
        self._up_to = poisson_steps(scenario.reels.mill_joints_per_reel)
        self._rows: list[list[float]] = []
        self._counts: list[int] = []
        self._spreads: list[float] = []
        self._lock = Lock()
        self._made: dict[float, Reels] = {}

    def reels(self, thickness_um: float, than: int) -> Reels:
        """At least one reel beyond the first ``than``."""
        with self._lock:
            made = self._made.get(thickness_um, _NONE)
            if len(made.lengths.array) <= than:
                self.reel(than, thickness_um)  # draws luck for some more, too
                made = self._made[thickness_um] = self._make(thickness_um, made)
            return made

    def _make(self, thickness_um: float, before: Reels) -> Reels:
        first = len(before.lengths.array)
        reels = [self.reel(k, thickness_um) for k in range(first, len(self._rows))]
        joints = [joint for reel in reels for joint in reel.joints_um]
        begin = len(before.joints.array)
        counts = np.cumsum([len(reel.joints_um) for reel in reels]) + begin

        def longer(kept: Kept, values: Any) -> Kept:
            return Kept(np.concatenate([kept.array, np.array(values, dtype=np.int64)]))

        return Reels(
            longer(before.lengths, [reel.length_um for reel in reels]),
            longer(before.joints_end, counts),
            longer(before.joints, joints),
        )

    def reel(self, k: int, thickness_um: float) -> Reel:
        """The k-th reel, the first being 0."""
        while len(self._rows) <= k:
            self._draw()
        reels = self._reels
        diameter = reels.diameter_mm + reels.diameter_sd_mm * self._spreads[k]
        diameter = max(diameter, reels.core_diameter_mm * 1.05)
        length = paper.reel_length_m(diameter, reels.core_diameter_mm, thickness_um)
        length_um = round(length * 1e6)
        count = self._counts[k]
        if count == 0:
            return Reel(length_um, ())
        places = self._rows[k][2 : 2 + count]
        if count > _JOINTS_IN_ROW:
            own = self._chance.bits("unwind", self._web, f"reel {k}")
            places = places + own.random(count - _JOINTS_IN_ROW).tolist()
        return Reel(length_um, tuple(sorted(int(place * length_um) for place in places)))

    def _draw(self) -> None:
        rows = min(max(_FIRST_ROWS, len(self._rows)), _MOST_ROWS)
        luck = self._bits.random((rows, 2 + _JOINTS_IN_ROW))
        spread = np.clip(scipy.special.ndtri(luck[:, 0]), -_SPREAD_CUT, _SPREAD_CUT)
        self._spreads += spread.tolist()
        self._counts += np.searchsorted(self._up_to, luck[:, 1], side="right").tolist()
        self._rows += luck.tolist()


@dataclass(frozen=True)
class Reels:
    """Reels in the order in which they come: lengths, and the joints of all one after another."""

    lengths: Kept
    joints_end: Kept
    """Of each reel: how many joints it and those before it have."""
    joints: Kept


_NONE = Reels(NOTHING, NOTHING, NOTHING)


def reel_store(scenario: Scenario, chance: Chance, web: int) -> ReelStore:
    """The store of a web, the same for all lines that have the same reels and luck."""
    made: ReelStore = chance.kept(
        lambda: ReelStore(scenario, chance, web), "reels", web, scenario.reels
    )
    return made


def poisson_steps(mean: float) -> NDArray[np.float64]:
    """Chance of at most 0, 1, 2, ... of a Poisson count, up to where the rest is nothing."""
    most = int(mean + 12 * mean**0.5 + 20)
    return np.asarray(scipy.special.pdtr(np.arange(most), mean), dtype=np.float64)


@dataclass(slots=True)
class Stand:
    """The stand or pair of stands of one web."""

    web: int
    store: Aside[ReelStore]
    lengths_um: Row[int]
    """Of the reels in the store, those that were used included."""
    joints_end: Row[int]
    """Of each: how many joints it and those before it have."""
    joints_um: Row[int]
    """Distances of all their joints from the outer end of their reels."""
    change_times: Stream
    splice_times: Stream
    prepare_times: Stream
    splice_fails: Stream
    prepare_job: Job
    replace_job: Job
    part_at_start: float
    """How much of a reel it has when counting begins; 0: as the run-in leaves it."""
    fetched: int = 0
    """Reels taken from the store."""
    end_um: int = 0
    outer_end_um: int = 0
    """Place at which the outer end of the reel in use has, or would have, left the stand."""
    next_joint: int = 0
    """The next joint of the reel in use ..."""
    last_joint: int = 0
    """... and the one after its last."""
    threaded: bool = True
    """False from a break on that took more paper than the reel had left."""
    partner_there: bool = False
    """The reel on the second stand is prepared."""
    partner: int = 0
    """Which it is ..."""
    partner_um: int = 0
    """... and how much is on it."""
    stop_um: int = NEVER
    """Where the webs must begin to stop for this reel."""
    splice_um: int = NEVER
    """Where it is spliced while the webs run: so much is left as is meant to be."""
    splice_wanted: bool = False
    """The webs come down to splice speed, and keep it, for a flying splice."""
    shown_end_um: int = -1
    """Its end when it was last noted in the history."""


def new_stand(site: Site, web: int) -> Stand:
    """A stand without a reel."""
    scenario, name = site.scenario, f"web {web + 1}"
    table = scenario.unwind
    store = reel_store(scenario, site.chance, web)
    reels = store.reels(site.goods[0].thickness_um, 1)
    pattern = scenario.reels.at_start
    said = pattern is not None and pattern != "random"
    return Stand(
        web=web,
        store=store,
        lengths_um=reels.lengths,
        joints_end=reels.joints_end,
        joints_um=reels.joints,
        change_times=site.stream(table.change_min, MINUTE, "unwind", name, "change_min"),
        splice_times=site.stream(table.splice_min, MINUTE, "unwind", name, "splice_min"),
        prepare_times=site.stream(table.prepare_min, MINUTE, "unwind", name, "prepare_min"),
        splice_fails=site.chance.coin(table.splice_fail_chance, "unwind", name, "splice fails"),
        prepare_job=new_job(PREPARED, web),
        replace_job=new_job(REEL_REPLACED, web),
        part_at_start=_part(site, web, pattern) if said and pattern is not None else 0.0,
    )


def part_at_start(site: Site, web: int) -> float:
    """How much of its first reel a web has when the line begins to run."""
    pattern = site.scenario.reels.at_start
    if site.run_in_ns or (pattern is None and site.scenario.start.state != "new"):
        pattern = "random"
    return _part(site, web, pattern or "fresh")


def _part(site: Site, web: int, pattern: str) -> float:
    if pattern == "staggered":
        return (web + 1) / site.scenario.unwind.webs
    if pattern == "random":
        return site.chance.uniform("unwind", web, "at start")
    return 1.0


def left_um(line: Line, stand: Stand) -> int:
    """Paper on the reel in use."""
    return stand.end_um - line.webs.motion.place_um


def aim_reel(line: Line, stand: Stand) -> None:
    """Where the reel must be replaced."""
    stand.stop_um = stand.end_um - line.webs.unwind.reserve_um
    stand.splice_um = stand.end_um - line.webs.unwind.butt_um


def lose_paper(line: Line, stand: Stand, length_um: int) -> None:
    """The next ``length_um`` of the reel is lost; joints in it are drawn into the machine."""
    stand.end_um -= length_um
    stand.outer_end_um -= length_um
    aim_reel(line, stand)


def throw_away(line: Line, stand: Stand, length_um: int) -> None:
    """The next ``length_um`` of the reel is thrown away, and the mill's joints in it."""
    _forget_joints(line, stand, length_um)
    lose_paper(line, stand, length_um)


def _forget_joints(line: Line, stand: Stand, within_um: int) -> None:
    """Joints up to so far from here on the reel are gone."""
    until = line.webs.motion.place_um + within_um
    while has_joint(stand) and joint_um(stand) <= until:
        stand.next_joint += 1


def fetch_reel(line: Line, stand: Stand) -> int:
    """The next reel from the store: its number there."""
    if stand.fetched >= len(stand.lengths_um):
        outside(line, MORE_REELS, stand.web)
    reel = stand.fetched
    stand.fetched += 1
    if line.has_orders:
        note_reel_moved(line, stand.web, False, line.product, stand.lengths_um[reel])
    return reel


def mount_reel(line: Line, stand: Stand, reel: int) -> None:
    """Paper is taken from this reel from here on; joints in what is threaded are in the machine."""
    gone = 0
    if not stand.threaded:
        gone = min(line.webs.unwind.path_um, stand.lengths_um[reel])
        stand.threaded = True
    _mount(line, stand, reel, gone)


def mount_part(line: Line, stand: Stand, part: float) -> None:
    """The next reel is put on, and only so much of it is left."""
    reel = fetch_reel(line, stand)
    length = stand.lengths_um[reel]
    least = min(line.webs.unwind.reserve_um + 1, length)
    stand.threaded = True
    _mount(line, stand, reel, length - max(int(length * part), least))
    _forget_joints(line, stand, 0)


def _mount(line: Line, stand: Stand, reel: int, gone_um: int) -> None:
    place = line.webs.motion.place_um
    stand.end_um = place + stand.lengths_um[reel] - gone_um
    stand.outer_end_um = place - gone_um
    stand.next_joint = 0
    if reel > 0:
        stand.next_joint = stand.joints_end[reel - 1]
    stand.last_joint = stand.joints_end[reel]
    stand.splice_wanted = False
    aim_reel(line, stand)


def has_joint(stand: Stand) -> bool:
    """Whether the reel in use has a joint still to come."""
    return stand.next_joint < stand.last_joint


def joint_um(stand: Stand) -> int:
    """Where the next joint leaves the stand."""
    return stand.outer_end_um + stand.joints_um[stand.next_joint]


def prepare(line: Line, stand: Stand) -> None:
    """The emptied stand is to be prepared: until then the partner is not there."""
    length_ns = draw(line, stand.prepare_times)
    people = line.webs.unwind.prepare_people
    ask(line, stand.prepare_job, people, line.crew.priority_prepare, length_ns, False)
