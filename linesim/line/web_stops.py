"""Stops of the stations on the webs: on which meter they fall due, and what they spoil."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from linesim.line.clock import NEVER, Alarm, Rank
from linesim.line.cutting import Cutting
from linesim.line.floor import Floor
from linesim.line.holds import WebStop
from linesim.line.meters import Cause, causes_of
from linesim.line.unwind import Unwind
from linesim.record.states import State
from linesim.scenario import WEB_STATIONS
from linesim.scenario.stops import METERS


class WebStops:
    """The stop causes of every station from the stands to the pockets."""

    def __init__(
        self,
        floor: Floor,
        cutting: Cutting,
        unwind: Unwind,
        *,
        begin: Callable[[WebStop], None],
        end: Callable[[WebStop], None],
        position: Callable[[], int],
        reading: Callable[[str], int],
    ) -> None:
        self._floor = floor
        self._cutting = cutting
        self._unwind = unwind
        self._add, self._end, self._position = begin, end, position
        self._reading = reading
        self.spoiled_cuts = 0
        """Cuts spoiled by stops since the webs last ran; they leave at the gate."""
        self.causes = [
            cause for station in range(len(WEB_STATIONS)) for cause in causes_of(floor, station)
        ]
        for cause in self.causes:
            if cause.meter == "every_clock_h":
                cause.watch_clock(Alarm(floor.env, Rank.WEB, partial(self._begin, cause, 0)))
        self.dues: dict[str, int] = {}
        """Where the first stop falls due on each meter; NEVER where there is none."""
        self._look_for_dues()

    def _look_for_dues(self) -> None:
        for meter in METERS:
            dues = (cause.due for cause in self.causes if cause.meter == meter)
            self.dues[meter] = min(dues, default=NEVER)

    def begin_to_count(self) -> None:
        """Counting begins: causes whose age the scenario says are that old now."""
        for cause in self.causes:
            cause.begin_to_count(self._reading(cause.meter))
        self._look_for_dues()

    def fall(self) -> None:
        """Begin every stop that is due at what the meters of the webs read."""
        for cause in self.causes:
            reading = self._reading(cause.meter)
            if cause.alarm is None and reading >= cause.due:
                self._begin(cause, reading)

    def _begin(self, cause: Cause, reading: int) -> None:
        restore_ns = cause.fall(reading)
        self._look_for_dues()
        self._floor.ledger.count_stop(cause.station, cause.number)
        stop = WebStop(
            self._floor,
            cause.station,
            cause.number,
            working=cause.working,
            people=cause.stop.people,
            priority=cause.priority,
            restore_ns=restore_ns,
            ended=lambda _: self._mended(cause, stop),
        )
        stop.spoils = lambda: self._spoil(cause)
        self._add(stop)

    def _mended(self, cause: Cause, stop: WebStop) -> None:
        cause.mended(self._floor.now)
        self._look_for_dues()
        self._end(stop)

    def force(self, station: int, cause: int, length_ns: int) -> None:
        """Somebody stops a station for so long."""
        self._floor.ledger.count_stop(station, cause)
        self._add(
            WebStop(
                self._floor,
                station,
                cause,
                working=State.DOWN,
                people=0,
                priority=1,
                restore_ns=length_ns,
                ended=self._end,  # type: ignore[arg-type]
            )
        )

    def _spoil(self, cause: Cause) -> None:
        stop, book, unwind = cause.stop, self._floor.books, self._unwind
        self.spoiled_cuts += stop.spoils_cuts
        if stop.spoils_pockets:
            self._cutting.clear_pockets()
        if stop.spoils_web_m:
            x = self._position()
            for stand in unwind.stands:
                length = min(stand.left(x), round(stop.spoils_web_m * 1e6))
                book.paper.spoiled += length
                self._cutting.use("spoiled", length)
                stand.lose(length)
            unwind.reached(x)
