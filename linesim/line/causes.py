"""Stop causes at work: the meters they fall due on, and what they draw each time."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line.accounts import CHANGEOVER, DOWN
from linesim.line.chance import Stream, draw, first_draw, first_of_luck
from linesim.line.clock import CAUSE, NEVER, Alarm, set_alarm
from linesim.line.line import Line, Site
from linesim.line.typed import Row
from linesim.record.states import Kind
from linesim.scenario import WEB_STATIONS, Stop
from linesim.scenario.residual_life import residual_life, residual_life_after
from linesim.scenario.stops import METERS
from linesim.scenario.units import HOUR, MINUTE

RUNNING_H = METERS.index("every_running_h")
WEB_KM = METERS.index("every_web_km")
CUTS = METERS.index("every_cuts")
REAMS = METERS.index("every_reams")
CLOCK_H = METERS.index("every_clock_h")
_UNITS = {RUNNING_H: float(HOUR), WEB_KM: 1e9, CUTS: 1.0, REAMS: 1.0, CLOCK_H: float(HOUR)}


@dataclass(slots=True)
class Cause:
    """One stop cause of one station; with ``per_web``, of one web.

    The k-th stop takes the k-th draw of the interval's stream and the k-th of the time to restore.
    From the moment it falls due until it is mended it does not fall due again. By the clock the
    next interval begins when it is mended; the other meters stand with the station and count on.
    Of the first interval only a part is left when the run starts, unless all is new then.
    """

    of: int
    """Its place among all causes of the line."""
    station: int
    number: int
    """Of its name in the accounts."""
    meter: int
    working: int
    """State of the station while people are at it."""
    people: int
    priority: int
    spoils_cuts: int
    spoils_web_um: int
    spoils_pockets: bool
    spoils_reams: int
    interval: Stream
    restore: Stream
    """Times to restore."""
    alarm: Alarm
    """Rings when it falls due, where that is a matter of the clock."""
    due: int = NEVER
    """Where on its meter (ns, um, cuts or reams) it next falls due."""
    next_due: int = NEVER
    """The same when it has been mended, where it is no matter of the clock."""
    left: int = -1
    """What is left when counting begins, where the scenario says how old it is by then."""


def new_causes(site: Site, station: int, rank: int, *also_called: str) -> Row[Cause]:
    """The causes of a station, in the order of their names, web by web."""
    scenario = site.scenario
    here = site.stations[station]
    found: list[Cause] = []
    for stop in sorted(scenario.stop, key=lambda stop: stop.cause):
        if stop.station != here and stop.station not in also_called:
            continue
        names = [stop.cause]
        if stop.per_web:
            names = [f"{stop.cause} (web {web + 1})" for web in range(scenario.unwind.webs)]
        for name in names:
            found.append(_new_cause(site, stop, station, name, rank))
    return Row("stop causes", len(found), found)


def _new_cause(site: Site, stop: Stop, station: int, name: str, rank: int) -> Cause:
    crew, here = site.scenario.crew, site.stations[station]
    usual = crew.priority_standing_line if here in WEB_STATIONS else crew.priority_standing_wrapper
    meter = METERS.index(stop.meter)
    unit = _UNITS[meter]
    cause = Cause(
        of=len(site.stop_causes),
        station=station,
        number=site.causes.number(name, Kind.SET_UP if stop.planned else Kind.STOP),
        meter=meter,
        working=CHANGEOVER if stop.planned else DOWN,
        people=stop.people,
        priority=stop.priority if stop.priority is not None else usual,
        spoils_cuts=stop.spoils_cuts,
        spoils_web_um=round(stop.spoils_web_m * 1e6),
        spoils_pockets=stop.spoils_pockets,
        spoils_reams=stop.spoils_reams,
        interval=site.chance.stream(stop.interval, unit, here, name, "interval"),
        restore=site.chance.stream(stop.restore_min, MINUTE, here, name, "restore"),
        alarm=Alarm(rank, CAUSE, len(site.stop_causes)),
    )
    used, law = stop.since_last, stop.interval
    if used is not None:
        cause.left = first_of_luck(
            cause.interval, unit, lambda luck: residual_life_after(law, used, luck)
        )
        # It has not happened in the run-in.
        cause.due = NEVER if site.run_in_ns else cause.left
    elif site.scenario.start.state == "new":
        cause.due = first_draw(cause.interval)
    else:
        cause.due = first_of_luck(cause.interval, unit, lambda luck: residual_life(law, luck))
    site.stop_causes.append(cause)
    return cause


def first_due(causes: Row[Cause], meter: int) -> int:
    """Where the first of these falls due on a meter; NEVER where none does."""
    due = NEVER
    for cause in causes:
        if cause.meter == meter:
            due = min(due, cause.due)
    return due


def watch_clock(line: Line, cause: Cause) -> None:
    """Set the alarm of a cause that falls due by the clock."""
    if cause.meter == CLOCK_H:
        set_alarm(line, cause.alarm, cause.due)


def cause_falls(line: Line, cause: Cause, reading: int) -> int:
    """It happens where its meter, unless that is the clock, reads so much; ns to restore."""
    cause.due = NEVER
    if cause.meter != CLOCK_H:
        cause.next_due = reading + max(1, draw(line, cause.interval))
    return draw(line, cause.restore)


def cause_mended(line: Line, cause: Cause) -> None:
    """It is mended: it may fall due again."""
    if cause.meter != CLOCK_H:
        cause.due = cause.next_due
    else:
        cause.due = line.now_ns + max(1, draw(line, cause.interval))
        set_alarm(line, cause.alarm, cause.due)


def cause_begins_to_count(line: Line, cause: Cause, reading: int) -> None:
    """Counting begins where its meter reads so much."""
    if cause.left >= 0:
        cause.due = reading + cause.left
        watch_clock(line, cause)
