"""A station that stands and moves by itself: its stops, one beside the other if need be."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from linesim.line.clock import NEVER, Alarm
from linesim.line.floor import Floor
from linesim.line.meters import Cause, causes_of
from linesim.line.stoppage import Stoppage
from linesim.record.states import State


class Machine:
    """Transfer, bridge, a wrapper, the outfeed: what they have in common.

    ``paused`` and ``resumed`` are called when the first stop begins and when the last one ends.
    A stop that is due is begun by the station itself, which knows its meters.
    """

    def __init__(self, floor: Floor, station: int, rank: int, *also_called: str) -> None:
        self.floor = floor
        self.station = station
        self.stops: list[Stoppage] = []
        self.causes = causes_of(floor, station, *also_called)
        self.running_due = NEVER
        """Running time at which the first stop on that meter falls due; NEVER: there is none."""
        self.reams_due = NEVER
        """The same in reams of this station."""
        self.look_for_dues()
        for cause in self.causes:
            if cause.meter == "every_clock_h":
                cause.watch_clock(Alarm(floor.env, rank, partial(self.stop, cause, 0)))

    paused: Callable[[], None]
    resumed: Callable[[], None]

    def run_so_far(self) -> int:
        """What the meter of running time reads while it stands, ns."""
        raise NotImplementedError

    def reams_so_far(self) -> int:
        """What the meter of reams reads."""
        raise NotImplementedError

    def _reading(self, meter: str) -> int:
        match meter:
            case "every_running_h":
                return self.run_so_far()
            case "every_reams":
                return self.reams_so_far()
            case _:
                return self.floor.now

    def begin_to_count(self) -> None:
        """Counting begins, and it stands: causes whose age the scenario says are that old now."""
        for cause in self.causes:
            cause.begin_to_count(self._reading(cause.meter))
        self.look_for_dues()

    def stop(self, cause: Cause, reading: int) -> None:
        """A cause falls due now; its meter, where it is not the clock, reads so much."""
        restore_ns = cause.fall(reading)
        self.look_for_dues()
        self.floor.ledger.count_stop(self.station, cause.number)
        self._begin(
            Stoppage(
                self.floor,
                self.station,
                cause.number,
                working=cause.working,
                people=cause.stop.people,
                priority=cause.priority,
                restore_ns=restore_ns,
                ended=lambda stoppage: self._mended(cause, stoppage),
            )
        )

    def _mended(self, cause: Cause, stoppage: Stoppage) -> None:
        cause.mended(self.floor.now)
        self.look_for_dues()
        self.end(stoppage)

    def hold(self, cause: int, state: State, restore_ns: int) -> Stoppage:
        """Stand for a break, a forced stop, a change-over: no people are asked for."""
        if state != State.PLANNED:
            self.floor.ledger.count_stop(self.station, cause)
        stoppage = Stoppage(
            self.floor,
            self.station,
            cause,
            working=state,
            people=0,
            priority=1,
            restore_ns=restore_ns,
            ended=self.end,
        )
        self._begin(stoppage)
        return stoppage

    def _begin(self, stoppage: Stoppage) -> None:
        self.floor.settle()
        self.stops.append(stoppage)
        if len(self.stops) == 1:
            self.paused()
        stoppage.begin_job()
        self.floor.show()

    def end(self, stoppage: Stoppage) -> None:
        """This stop is over."""
        self.floor.settle()
        self.stops.remove(stoppage)
        if not self.stops:
            self.resumed()
        self.floor.show()

    def show_stop(self, now: int) -> bool:
        """Enter the state of a standing station; False where it does not stand."""
        if not self.stops:
            return False
        planned = [stop for stop in self.stops if stop.state == State.PLANNED]
        first = planned[0] if planned else self.stops[0]
        self.floor.ledger.enter(self.station, now, first.state, first.cause)
        return True

    def own_root(self) -> tuple[int, int]:
        """Station and cause of the stop it stands for."""
        return (self.station, self.stops[0].cause)

    def look_for_dues(self) -> None:
        """Find what falls due first on each meter."""

        def first(meter: str) -> int:
            return min((c.due for c in self.causes if c.meter == meter), default=NEVER)

        self.running_due = first("every_running_h")
        self.reams_due = first("every_reams")

    def fall(self, meter: str, reading: int) -> list[Cause]:
        """Begin every stop that is due at this reading of a meter; returns their causes."""
        fallen = []
        for cause in self.causes:
            if cause.meter == meter and reading >= cause.due:
                fallen.append(cause)
                self.stop(cause, reading)
        return fallen
