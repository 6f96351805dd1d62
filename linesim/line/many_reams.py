"""Many reams in one step, where one wrapper gives all of them the same time.

It decides nothing: whatever needs a decision goes ream by ream. Runs with and without it are the
same to the byte; a test holds that.
"""

from __future__ import annotations

from linesim.line.bridge import Bridge
from linesim.line.clock import NEVER
from linesim.line.floor import Floor
from linesim.line.outfeed import Outfeed
from linesim.line.packing_states import PackingStates
from linesim.line.ream_steps import ReamSteps
from linesim.line.wrapper import Wrapper


def can_do_many(wrappers: list[Wrapper]) -> bool:
    """True where there is one wrapper, and every ream takes it the same time."""
    return len(wrappers) == 1 and wrappers[0].even


class ManyReams:
    """The short cut for one wrapper with a steady pace."""

    def __init__(
        self,
        floor: Floor,
        bridge: Bridge,
        wrapper: Wrapper,
        outfeed: Outfeed | None,
        states: PackingStates,
        steps: ReamSteps,
    ) -> None:
        self._floor = floor
        self._bridge = bridge
        self._wrapper = wrapper
        self._outfeed = outfeed
        self._states = states
        self._steps = steps

    def settle(self, now: int) -> None:
        """Work out everything up to ``now``, ns."""
        wrapper, outfeed, steps = self._wrapper, self._outfeed, self._steps
        pace = self._states.pace
        while True:
            if wrapper.busy:
                at = min(wrapper.ends, wrapper.stops_at)
                if wrapper.stops or at > now:
                    break
                if outfeed is not None and outfeed.busy and outfeed.ends + pace < at:
                    self._outfeed_until(at)
                if wrapper.stops or self._on_from_ream(now):
                    continue
                self._outfeed_until(at)
                if wrapper.stops:
                    continue
                steps.settled_at = at
                steps.wrapper_moves(wrapper)
            elif wrapper.holding:
                if not self._outfeed_moves_by(now):
                    break
            else:
                # Not before what is settled: the belt may have stood meanwhile.
                at = max(self._bridge.head_ready(), wrapper.idle_since, steps.settled_at)
                if wrapper.stops or at > now:
                    break
                steps.settled_at = at
                if not self._whole_set(at, now):
                    steps.start(wrapper, at)
        self._outfeed_until(now)

    def _outfeed_until(self, at: int) -> None:
        while self._outfeed_moves_by(at):
            pass

    def _outfeed_moves_by(self, at: int) -> bool:
        """Let the outfeed make its next move; False where none is due by ``at``."""
        outfeed = self._outfeed
        if outfeed is None or not outfeed.busy or outfeed.stops:
            return False
        moves = outfeed.ends if outfeed.ends < outfeed.stops_at else outfeed.stops_at
        if moves > at:
            return False
        self._steps.settled_at = moves
        self._steps.outfeed_moves(outfeed)
        return True

    def _whole_set(self, at: int, now: int) -> bool:
        """An idle wrapper takes the reams of one set and is done with them by now."""
        wrapper, outfeed, steps = self._wrapper, self._outfeed, self._steps
        cycle = wrapper.shortest
        reams = self._bridge.head()[1]
        end = at + reams * cycle
        if cycle == 0 or end > now or reams >= wrapper.next_due - wrapper.done:
            return False
        if reams * cycle >= wrapper.running_due - wrapper.run_ns:
            return False
        first_end = at + cycle
        if outfeed is not None:
            self._outfeed_until(first_end)
            if wrapper.stops or outfeed.keeps_up_with(first_end, cycle) < reams:
                return False
            self._states.outfeed_runs_through(outfeed, first_end, reams, cycle)
            outfeed.go_through(first_end, reams, cycle)
        self._states.wrapper_runs(wrapper, at)
        steps.good(first_end, reams, cycle)
        if self._floor.keep:
            steps.start_rows.extend(range(at, end, cycle))
            steps.end_rows.extend(range(first_end, end + cycle, cycle))
            steps.wrapper_rows.extend([0] * reams)
        wrapper.do_set(at, reams, cycle)
        self._bridge.take_many(reams)
        return True

    def _on_from_ream(self, now: int) -> bool:
        """Reams that follow each other without a pause are one multiplication."""
        wrapper, bridge, outfeed = self._wrapper, self._bridge, self._outfeed
        if not wrapper.busy or wrapper.stops or wrapper.stops_at < NEVER or bridge.stops:
            return False
        cycle = wrapper.shortest
        if cycle == 0 or wrapper.ends > now:
            return False
        ready, reams = bridge.head()
        if ready > wrapper.ends:
            return False
        # The due ream itself, and the one in which a stop falls due, go the long way.
        count = min(
            reams,
            wrapper.next_due - wrapper.done - 1,
            (now - wrapper.ends) // cycle + 1,
            (wrapper.running_due - wrapper.run_ns) // cycle - 1,
        )
        first_end = wrapper.ends
        if outfeed is not None and count > 0:
            count = min(count, outfeed.keeps_up_with(first_end, cycle))
        if count < 1:
            return False
        if outfeed is not None:
            self._states.outfeed_runs_through(outfeed, first_end, count, cycle)
            outfeed.go_through(first_end, count, cycle)
        steps = self._steps
        steps.good(first_end, count, cycle)
        if self._floor.keep:
            steps.start_rows.append(wrapper.first_began)
            steps.start_rows.extend(range(first_end, first_end + (count - 1) * cycle, cycle))
            steps.end_rows.extend(range(first_end, first_end + count * cycle, cycle))
            steps.wrapper_rows.extend([0] * count)
        wrapper.go_through(count, cycle)
        bridge.take_many(count)
        return True
