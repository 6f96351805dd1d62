"""Stops of the stations on the webs: on which meter they fall due, and what they spoil."""

from __future__ import annotations

from collections.abc import Callable

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
    ) -> None:
        self._floor = floor
        self._cutting = cutting
        self._unwind = unwind
        self._add, self._end, self._position = begin, end, position
        self.spoiled_cuts = 0
        """Cuts spoiled by stops since the webs last ran; they leave at the gate."""
        self.causes = [
            cause for station in range(len(WEB_STATIONS)) for cause in causes_of(floor, station)
        ]
        for cause in self.causes:
            if cause.meter == "every_clock_h":
                self._watch_clock(cause)
        self.dues: dict[str, int] = {}
        """Where the first stop falls due on each meter; NEVER where there is none."""
        self._look_for_dues()

    def _look_for_dues(self) -> None:
        for meter in METERS:
            dues = (cause.due for cause in self.causes if cause.meter == meter)
            self.dues[meter] = min(dues, default=NEVER)

    def _watch_clock(self, cause: Cause) -> None:
        def rung() -> None:
            restore = cause.fall(self._floor.now)
            alarm.set(cause.due)
            self._begin(cause, restore)

        alarm = Alarm(self._floor.env, Rank.WEB, rung)
        alarm.set(cause.due)

    def fall(self, reading: Callable[[str], int | None]) -> None:
        """Begin every stop that is due at what the meters read."""
        for cause in self.causes:
            read = reading(cause.meter)
            if read is not None and read >= cause.due:
                restore = cause.fall(read)
                self._look_for_dues()
                self._begin(cause, restore)

    def _begin(self, cause: Cause, restore_ns: int) -> None:
        self._floor.ledger.count_stop(cause.station, cause.number)
        stop = WebStop(
            self._floor,
            cause.station,
            cause.number,
            working=cause.working,
            people=cause.stop.people,
            priority=cause.priority,
            restore_ns=restore_ns,
            ended=self._end,  # type: ignore[arg-type]
        )
        stop.spoils = lambda: self._spoil(cause)
        self._add(stop)

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
