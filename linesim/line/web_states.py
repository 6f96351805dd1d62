"""What the accounts are told of the webs: each station's state, and whom it waits for."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from linesim.line.floor import Floor
from linesim.record.states import TRANSFER_PACE, Kind, State
from linesim.scenario import WEB_STATIONS

if TYPE_CHECKING:
    from linesim.line.webs import Webs

Root = tuple[int, int]
_CUTTER = WEB_STATIONS.index("cutter")


class WebStates:
    """Enters the states of all stations on the webs."""

    def __init__(self, floor: Floor, webs: Webs) -> None:
        self._floor = floor
        self._webs = webs
        cause = floor.ledger.cause
        self.cause_run_up = cause("run-up", Kind.RATE)
        self.cause_level = cause("bridge level", Kind.RATE)
        self.cause_splice = cause("splice", Kind.SET_UP)
        self.cause_pace = cause(TRANSFER_PACE, Kind.RATE)
        self.root: Root = (_CUTTER, 0)
        """Station and cause that whoever waits for the webs is really waiting for.

        As it was last shown: until then nothing has changed for anybody who waits.
        """
        self.reel_rows: list[tuple[int, int, int]] = []
        """Moment, web and paper left (um) for every reel that came into use or lost paper."""
        self._reel_ends = [-1] * floor.scenario.unwind.webs

    root_beyond: Callable[[], Root]
    """Set by the line: what holds up the end of the webs."""

    def _find_root(self) -> Root:
        webs = self._webs
        if not webs.standing:
            return (_CUTTER, self._slow_cause())
        if not webs.holds:
            return (_CUTTER, 0)
        first = webs.holds[0]
        if first.state == State.BLOCKED:
            return self.root_beyond()
        return (max(first.station, 0), first.cause)

    def _slow_cause(self) -> int:
        webs, change = self._webs, self._webs.motion.change
        if webs.holds:
            return webs.holds[0].cause
        if change > 0:
            return self.cause_run_up
        if webs.splicing:
            return self.cause_splice
        if change < 0 or (webs.slow and webs.level_speed < webs.goods.pace):
            return self.cause_level
        return self.cause_pace if webs.goods.pace < webs.goods.speed else 0

    def show(self) -> None:
        """Enter the states of all stations on the webs."""
        webs, motion = self._webs, self._webs.motion
        self.root = self._find_root()
        enter, now = self._floor.ledger.enter, self._floor.now
        if not webs.standing:
            cause = self._slow_cause()
            full = motion.change == 0.0 and motion.speed >= webs.goods.speed
            state = State.RUNNING if full else State.SLOWED
            for station in range(len(WEB_STATIONS)):
                enter(station, now, state, 0 if full else cause)
        elif webs.holds:
            self._show_standing(now)
        self.keep_reels()

    def _show_standing(self, now: int) -> None:
        enter, holds = self._floor.ledger.enter, self._webs.holds
        for hold in holds:
            if hold.state == State.PLANNED:
                for station in range(len(WEB_STATIONS)):
                    enter(station, now, State.PLANNED, hold.cause)
                return
        first, root = holds[0], self.root
        own = {hold.station: hold for hold in reversed(holds)}
        for station in range(len(WEB_STATIONS)):
            if station in own:
                enter(station, now, own[station].state, own[station].cause)
            elif first.state == State.BLOCKED or station < first.station:
                enter(station, now, State.BLOCKED, root[1], root)
            else:
                enter(station, now, State.STARVED, root[1], root)

    def keep_reels(self) -> None:
        """Note which reels came into use or lost paper."""
        if not self._floor.keep:
            return
        now, x = self._floor.now, self._webs.motion.x
        for stand in self._webs.unwind.stands:
            if stand.end_x != self._reel_ends[stand.web]:
                self._reel_ends[stand.web] = stand.end_x
                self.reel_rows.append((now, stand.web, stand.left(x)))
