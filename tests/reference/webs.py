"""The reference line from the stands to the pockets: all webs move as one."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import simpy

from tests.reference.breaks import Breaks
from tests.reference.luck import Luck
from tests.reference.machines import WEB_STATIONS, Cause, by_the_clock, causes_at
from tests.reference.moments import MENDERS, WEBS, when_others_are_done
from tests.reference.motion import CLOSE_M, CLOSE_S, Motion
from tests.reference.named import fastest
from tests.reference.people import Crew, Job, Steps
from tests.reference.reels import Reels
from tests.reference.sheets import Sheets


@dataclass(eq=False)
class Hold:
    """A reason for which the webs stand, or are on their way to a standstill."""

    stood: simpy.Event
    """They have come to stand."""


class Webs:
    """One process: run until something is due, see to it, aim at the speed that is wanted."""

    def __init__(self, env: simpy.Environment, scenario: Any, luck: Luck, crew: Crew) -> None:
        self.env, self.crew, self.s = env, crew, scenario
        self.motion = Motion(scenario)
        self.sheets = Sheets(scenario, luck)
        cutter = scenario.cutter
        cuts_per_s = cutter.max_cuts_per_min / 60
        allowed = min(cutter.web_speed_m_per_min, fastest(scenario, "web_speed_m_per_min"))
        self.rated = min(allowed / 60, cuts_per_s * self.sheets.cut_m)
        self._paced = self._pace()
        self._kept_to = 1.0
        self._by_hand = False
        """The crew brings them up at the next start, ..."""
        self._steps: list[tuple[float, float]] = []
        """... and these are the steps left: part of rated speed, and end."""
        self._stood_at = 0.0
        self._holds: list[Hold] = []
        self._stood = False
        """They have stood since they last started."""
        self._spoiled_cuts = 0
        self._full_hold: Hold | None = None
        self._since = 0.0
        self._news = env.event()
        self.stops = 0
        self.set_is_full: Callable[[], None] = lambda: None
        self.breaks = Breaks(scenario, luck, self.motion)
        self.reels = Reels(env, scenario, luck, crew, self)
        self.causes = [
            cause for station in WEB_STATIONS for cause in causes_at(scenario, luck, station)
        ]
        for cause in self.causes:
            if cause.meter == "every_clock_h":
                env.process(by_the_clock(env, cause, self._stop))
        env.process(self._run())

    # -- what others say -----------------------------------------------------------------------

    def hold(self) -> Hold:
        """Have the webs stand; ``stood`` comes when they do."""
        hold = Hold(self.env.event())
        self._holds.append(hold)
        self.look_again()
        return hold

    def release(self, hold: Hold) -> None:
        """One reason less to stand."""
        self._holds.remove(hold)
        self.look_again()

    def keep_to(self, part: float) -> None:
        """The level of the bridge leaves them this part of their speed."""
        if part != self._kept_to:
            self._kept_to = part
            self.look_again()

    def taken(self) -> None:
        """The full set has been lifted out of the pockets."""
        self._settle()
        self.sheets.taken()
        if self._full_hold is not None:
            hold, self._full_hold = self._full_hold, None
            self.release(hold)
        self._look_at_pockets()
        self.look_again()

    def joined(self, web: int, *, fails: bool) -> None:
        """A new reel is spliced to the web."""
        self.sheets.reject_around(self.motion.x, self.s.gate.cuts_per_splice, "splice")
        self.breaks.splice(web, fails=fails)

    def look_again(self) -> None:
        """Something has changed."""
        if not self._news.triggered:
            self._news.succeed()

    # -- speed ---------------------------------------------------------------------------------

    def _pace(self) -> float:
        """Speed at which a set takes as long as the transfer is away for the one before it."""
        t = self.s.transfer
        pick = t.pick_s.average()
        away = pick + t.carry_s.average() + t.place_s.average() + t.return_s.average()
        if not t.paces_webs or not away:
            return math.inf
        cuts, filling = self.sheets.per_ream, away
        held = self.s.overlap_belt.hold_cuts
        if not self.s.pockets.interim_fingers and cuts * pick / away > held:
            # The pockets are shut during the pick, but for the cuts on the belt.
            cuts, filling = max(0, cuts - held), away - pick
        if not filling:
            return math.inf
        # A hair less, so that the transfer is home when the set is full.
        return cuts * self.sheets.cut_m / filling * (1 - 1e-9)

    def _wanted(self) -> float:
        if self._holds:
            return 0.0
        speed = min(self.rated, self._paced, self.rated * self._kept_to)
        speed = min([speed, *(self.rated * part for part, _ in self._steps[:1])])
        if self.reels.wants_splice_speed:
            speed = min(speed, self.reels.splice_speed)
        return speed

    def _aim(self) -> None:
        if self._stood and self._wanted() > 0 and self.motion.standing:
            self._stood = False
            self.sheets.after_stop(self._spoiled_cuts)
            self._spoiled_cuts = 0
            self.breaks.restart()
            self._start_by_hand()
        self.motion.head_for(self._wanted())
        if self.motion.standing:
            if not self._stood:
                self._stood_at = self.env.now
                self._by_hand = self._by_hand or bool(self._steps)
                self._steps.clear()
                self.sheets.gate_shut = False
            self._stood = True
            for hold in self._holds:
                if not hold.stood.triggered:
                    hold.stood.succeed()

    def _start_by_hand(self) -> None:
        """Where the crew brings them up, note until when each step lasts."""
        table, end = self.s.cutter, self.env.now
        after_min = table.hand_ramp_after_min
        long = after_min is not None and (end - self._stood_at) / 60 >= after_min - CLOSE_M
        if not (self._by_hand or long):
            return
        self._by_hand = False
        steps = zip(table.hand_ramp_fractions, table.hand_ramp_min, strict=True)
        for part, minutes in steps:
            end += minutes * 60
            self._steps.append((part, end))
        self.sheets.gate_shut = bool(self._steps) and table.hand_ramp_rejects

    # -- the process ---------------------------------------------------------------------------

    def _run(self) -> Steps:
        while True:
            self._settle()
            self._look_at_pockets()
            # The transfer may take a set in the moment in which it is full.
            yield when_others_are_done(self.env, WEBS)
            self._news = self.env.event()
            self._attend()
            self._aim()
            wait = self._seconds_to_next()
            if wait < math.inf:
                yield self.env.timeout(wait) | self._news
            else:
                yield self._news

    def _settle(self) -> None:
        """Catch up with the clock."""
        seconds, self._since = self.env.now - self._since, self.env.now
        if seconds > 0 and not self.motion.standing:
            self.motion.move(seconds)
            self.sheets.run_to(self.motion.x)

    def _attend(self) -> None:
        """See to everything that is due here."""
        x = self.motion.x
        while self._steps and self._steps[0][1] <= self.env.now + CLOSE_S:
            self._steps.pop(0)
            self.sheets.gate_shut = self.sheets.gate_shut and bool(self._steps)
        for stand in self.reels.stands:
            while stand.joints_m and stand.joints_m[0] <= x + CLOSE_M:
                joint = stand.joints_m.pop(0)
                self.sheets.reject_around(joint, self.s.gate.cuts_per_joint, "joint")
                self.breaks.joint(stand.web)
        self.reels.attend()
        self._fall()
        while not self.motion.standing and (web := self.breaks.due()) is not None:
            self._break(web)
        if not self.sheets.full or self._full_hold is not None:
            return
        if self.sheets.brake_at(self.motion) <= self.motion.x + CLOSE_M:
            self._full_hold = self.hold()

    def _look_at_pockets(self) -> None:
        if self.sheets.set_is_full():
            self.set_is_full()

    def _seconds_to_next(self) -> float:
        motion, sheets = self.motion, self.sheets
        if motion.standing:
            return math.inf
        places = [*self.reels.next_places(), sheets.next_place()]
        places += [stand.joints_m[0] for stand in self.reels.stands if stand.joints_m]
        if sheets.full and self._full_hold is None:
            places.append(sheets.brake_at(motion))
        seconds = [self.breaks.seconds_to_next(), motion.ramp_s() or math.inf]
        seconds += [end - self.env.now for _, end in self._steps[:1]]
        for cause in self.causes:
            if cause.under_way:
                continue
            if cause.meter == "every_web_km":
                places.append(cause.due)
            elif cause.meter == "every_cuts":
                places.append(sheets.place_of(math.ceil(cause.due)))
            elif cause.meter == "every_running_h":
                seconds.append(max(0.0, cause.due - motion.run_s))
        return min([*seconds, motion.seconds_to(min(places))])

    # -- stops and breaks ----------------------------------------------------------------------

    def _fall(self) -> None:
        # What the belt held back can fill a set while the webs stand.
        readings: dict[str, float] = {"every_reams": self.sheets.sets * self.s.slitter.lanes}
        if not self.motion.standing:
            readings["every_running_h"] = self.motion.run_s
            readings["every_web_km"] = self.motion.x
            readings["every_cuts"] = self.sheets.cuts
        for meter, reading in readings.items():
            for cause in self.causes:
                if cause.is_due(meter, reading):
                    self._stop(cause, reading)

    def _stop(self, cause: Cause, reading: float = 0.0) -> simpy.Process:
        self.stops += 1
        return self.env.process(self._mend(cause, cause.fall(reading), self.hold()))

    def _mend(self, cause: Cause, job: Job, hold: Hold) -> Steps:
        yield hold.stood
        if not cause.changing:
            yield from self._spoil(cause.stop)
        yield from self.crew.do(job)
        cause.under_way = False
        self.release(hold)

    def _spoil(self, stop: Any) -> Steps:
        self._spoiled_cuts += stop.spoils_cuts
        if stop.spoils_web_m:
            for stand in self.reels.stands:
                stand.throw_away(stop.spoils_web_m, self.motion.x)
            self.reels.attend()
            yield when_others_are_done(self.env, MENDERS)
        if stop.spoils_pockets:
            self.sheets.spoil_pockets()

    def _break(self, web: int) -> None:
        """The webs stand at once; the paper between stands and knives is lost on all of them."""
        self.stops += 1
        # They coast to a stand with nothing to cut, and then somebody goes in.
        seconds = self.motion.coast_s() + self.breaks.rethread_s(web)
        self.motion.stop_dead()
        self.sheets.torn_at(self.motion.x)
        self._by_hand = True
        table, first = self.s.web_path, self.s.crew.priority_standing_line
        goes_by = frozenset(("rethread", "web_path"))
        job = Job(table.rethread_people, first, seconds, where="web_path", goes_by=goes_by)
        self.env.process(self._rethread(job, self.hold()))
        self.reels.torn()
        self.reels.attend()

    def _rethread(self, job: Job, hold: Hold) -> Steps:
        yield hold.stood
        yield from self.crew.do(job)
        self.release(hold)
