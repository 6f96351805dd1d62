"""Cruising: where nothing but full sets can happen next, many sets are one loop.

With the webs at steady speed and the transfer back in time for every set, a set is only
arithmetic until the next event of any other kind. This loop does the sums of ``Webs``,
``Transfer`` and ``Bridge`` for such a stretch and leaves every part as their own steps would have
left it. It decides nothing: whatever needs a decision (no room, a level that the controls heed, a
stop, an order) ends the cruise and goes the usual way. Runs with and without it are the same to
the byte; a test holds that.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.line.transfer import Phase

if TYPE_CHECKING:
    from linesim.line.assembly import Line


class Cruise:
    """Runs sets in one step while nobody has to be asked."""

    def __init__(self, line: Line) -> None:
        self._line = line
        times = line.transfer.constant_times()
        self.possible = (
            times is not None
            and line.webs.pockets.interim_fingers
            and not line.packing.needs_level
            and not line.floor.scenario.order
            and line.floor.scenario.bridge.when_full == "wait"
        )
        """Whether this line ever cruises."""
        pick_carry, place, back = times or (0, 0, 0)
        self.to_place = pick_carry + place
        """From the pick until the set is on the bridge, ns."""
        self.cycle = pick_carry + place + back
        """A whole cycle of the transfer, ns."""
        self._on_bridge = place

    def run(self) -> bool:
        """A set has just filled the pockets. True where it and others have been dealt with."""
        line = self._line
        webs, transfer, bridge, packing = line.webs, line.transfer, line.bridge, line.packing
        if not self.possible or bridge.stops or bridge.wait_level >= 0:
            return False
        if not webs.steady or transfer.stops or transfer.set_waits:
            return False
        transfer.catch_up()
        if transfer.phase is not Phase.HOME:
            return False
        horizon = min(line.env.next_event(), packing.undisturbed_until())
        room = min(bridge.places, bridge.heed_level - 1)
        lanes = webs.goods.lanes
        most = min(
            webs.sets_before_stop(),
            transfer.sets_before_stop(self.cycle, lanes),
            bridge.sets_before_stop(lanes),
        )
        sets = 0
        while True:
            now = webs.motion.seen_at
            line.env.moment = now
            if sets >= most or now < transfer.home_at or now + self.to_place >= horizon:
                break
            if bridge.level + lanes > room:
                packing.catch_up()  # the level known so far can only have fallen since
                if bridge.level + lanes > room:
                    break
            sets += 1
            webs.cutting.lift_set()
            transfer.through(now, self.cycle, lanes)
            bridge.put_down(now, now + self.to_place, lanes)
            if not webs.run_to_full_set(horizon):
                self._leave(sets)
                return True
        webs.wait_for_full_set()
        self._leave(sets)
        return sets > 0

    def _leave(self, sets: int) -> None:
        if sets:
            line = self._line
            line.transfer.on_its_way_home(self.cycle - self.to_place)
            line.packing.fed()
