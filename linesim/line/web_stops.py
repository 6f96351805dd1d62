"""Stops of the stations on the webs: on which meter they fall due, and what they spoil."""

from __future__ import annotations

from linesim.line import causes, told
from linesim.line.accounts import DOWN, count_stop
from linesim.line.books import USE_SPOILED, use_paper
from linesim.line.cutting import clear_pockets
from linesim.line.line import Line
from linesim.line.machine import Stoppage, begin_stoppage, stop_of_cause
from linesim.line.stand import left_um, throw_away
from linesim.line.typed import Ref, Row
from linesim.line.unwind import reels_reached


def web_reading(line: Line, meter: int) -> int:
    """What a meter of the webs reads."""
    if meter == causes.RUNNING_H:
        return line.webs.motion.run_ns
    if meter == causes.WEB_KM:
        return line.webs.motion.place_um
    if meter == causes.CUTS:
        return line.webs.cutting.cuts
    return line.webs.cutting.reams if meter == causes.REAMS else line.now_ns


def fall_on_webs(line: Line, these: Row[Ref[causes.Cause]]) -> None:
    """Begin every stop of these that is due."""
    for cause in these:
        if web_reading(line, cause.meter) >= cause.due:
            web_stops(line, cause)


def web_stops(line: Line, cause: causes.Cause) -> None:
    """A cause falls due now."""
    told.add_hold(line, stop_of_cause(line, cause, web_reading(line, cause.meter)))


def web_mended(line: Line, cause: causes.Cause, stop: Stoppage) -> None:
    """A stop that fell due is over."""
    causes.cause_mended(line, cause)
    told.release_hold(line, stop)


def force_web_stop(line: Line, station: int, cause: int, length_ns: int) -> None:
    """Somebody stops a station for so long."""
    count_stop(line, station, cause)
    told.add_hold(line, begin_stoppage(line, station, cause, DOWN, length_ns))


def spoil_by_stop(line: Line, cause: causes.Cause) -> None:
    """The webs stand for it: what it spoils is cleared away. A change by plan spoils nothing."""
    if cause.changing:
        return
    line.webs.spoiled_cuts += cause.spoils_cuts
    if cause.spoils_pockets:
        clear_pockets(line)
    if cause.spoils_web_um > 0:
        for stand in line.webs.unwind.stands:
            length = min(left_um(line, stand), cause.spoils_web_um)
            use_paper(line, USE_SPOILED, length)
            throw_away(line, stand, length)
        reels_reached(line)


def web_stops_begin_to_count(line: Line) -> None:
    """Counting begins: causes whose age the scenario says are that old now."""
    for cause in line.webs.causes:
        causes.cause_begins_to_count(line, cause, web_reading(line, cause.meter))
