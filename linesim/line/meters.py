"""Stop causes at work: the meters they fall due on, and what they draw each time."""

from __future__ import annotations

from linesim.line.clock import HOUR, MINUTE, NEVER, Alarm
from linesim.line.floor import Floor
from linesim.record.states import Kind, State
from linesim.scenario import WEB_STATIONS, Stop
from linesim.scenario.residual_life import residual_life, residual_life_after

_UNIT = {
    "every_running_h": float(HOUR),
    "every_web_km": 1e9,
    "every_cuts": 1.0,
    "every_reams": 1.0,
    "every_clock_h": float(HOUR),
}


class Cause:
    """One stop cause of one station; with ``per_web``, of one web.

    ``due`` is where on its meter (ns, um, cuts or reams) it next falls due. The k-th stop takes
    the k-th draw of the interval's stream and the k-th of the time to restore. From the moment it
    falls due until it is mended it does not fall due again. By the clock the next interval begins
    when it is mended; the other meters stand with the station and count on. Of the first interval
    only a part is left when the run starts, unless all is new then.
    """

    def __init__(self, floor: Floor, stop: Stop, station: int, name: str) -> None:
        self.stop = stop
        self.station = station
        self.meter = stop.meter
        self.name = name
        self.kind = Kind.SET_UP if stop.planned else Kind.STOP
        self.number = floor.ledger.cause(name, self.kind)
        self.working = State.CHANGEOVER if stop.planned else State.DOWN
        here = floor.ledger.stations[station]
        self.interval = floor.chance.stream(
            stop.interval, _UNIT[stop.meter], here, name, "interval"
        )
        self.restore = floor.chance.stream(stop.restore_min, MINUTE, here, name, "restore")
        """Times to restore."""
        crew = floor.scenario.crew
        usual = (
            crew.priority_standing_line if here in WEB_STATIONS else crew.priority_standing_wrapper
        )
        self.priority = stop.priority if stop.priority is not None else usual
        self.alarm: Alarm | None = None
        """Rings when it falls due, where that is a matter of the clock."""
        self._next_due = NEVER
        """Where it falls due when it has been mended, where it is not."""
        self.left: int | None = None
        """What is left when counting begins, where the scenario says how old it is by then."""
        used, law = stop.since_last, stop.interval
        if used is not None:
            self.left = self.interval.first(lambda u: residual_life_after(law, used, u))
            # It has not happened in the run-in.
            self.due = NEVER if floor.run_in_ns else self.left
        elif floor.scenario.start.state == "new":
            self.due = self._gap()
        else:
            self.due = self.interval.first(lambda u: residual_life(law, u))

    def _gap(self) -> int:
        return max(1, self.interval.draw())

    def watch_clock(self, alarm: Alarm) -> None:
        """Set the alarm of a cause that falls due by the clock."""
        self.alarm = alarm
        alarm.set(self.due)

    def begin_to_count(self, reading: int) -> None:
        """Counting begins where its meter reads so much."""
        if self.left is not None:
            self.due = reading + self.left
            if self.alarm is not None:
                self.alarm.set(self.due)

    def fall(self, reading: int) -> int:
        """It happens where its meter reads so much; returns ns to restore."""
        self.due = NEVER
        if self.alarm is None:
            self._next_due = reading + self._gap()
        return self.restore.draw()

    def mended(self, now: int) -> None:
        """It is mended: it may fall due again."""
        if self.alarm is None:
            self.due = self._next_due
        else:
            self.due = now + self._gap()
            self.alarm.set(self.due)


def causes_of(floor: Floor, station: int, *also_called: str) -> list[Cause]:
    """The causes of a station, in the order of their names, web by web."""
    scenario = floor.scenario
    here = floor.ledger.stations[station]
    found = []
    for stop in sorted(scenario.stop, key=lambda stop: stop.cause):
        if stop.station != here and stop.station not in also_called:
            continue
        if stop.per_web:
            names = [f"{stop.cause} (web {web + 1})" for web in range(scenario.unwind.webs)]
        else:
            names = [stop.cause]
        found += [Cause(floor, stop, station, name) for name in names]
    return found
