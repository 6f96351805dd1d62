"""Stop causes at work: the meters they fall due on, and what they draw each time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from linesim.line.accounts import CHANGEOVER, DOWN
from linesim.line.chance import Stream, draw, first_draw, first_of_luck
from linesim.line.clock import CAUSE, NEVER, Alarm, set_alarm
from linesim.line.line import Line, Site
from linesim.line.typed import Row
from linesim.record.states import Kind
from linesim.scenario import WEB_STATIONS, Stop
from linesim.scenario.people import who_can_mend
from linesim.scenario.residual_life import in_use_under_plan, residual_life, residual_life_after
from linesim.scenario.stops import BY_PLAN, METERS
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

    A part that is changed by plan falls due when it fails or when it has been in use for so long,
    whichever comes first; then a new one is in use. So the k-th part lasts as long as the k-th draw
    says, whatever the plan is.
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
    who: int
    """Who can see to it, bit by bit."""
    priority: int
    spoils_cuts: int
    spoils_web_um: int
    spoils_pockets: bool
    spoils_reams: int
    interval: Stream
    restore: Stream
    """Times to restore."""
    change: Stream
    """Times of changes by plan."""
    change_number: int
    """Of a change by plan in the accounts; -1: there is no plan."""
    change_people: int
    changed_after: int
    """A part is changed when it has been in use for so long; NEVER: it is not."""
    alarm: Alarm
    """Rings when it falls due, where that is a matter of the clock."""
    due: int = NEVER
    """Where on its meter (ns, um, cuts or reams) it next falls due."""
    next_due: int = NEVER
    """The same when it has been mended, where it is no matter of the clock."""
    by_plan: bool = False
    """When it next falls due, it is for a change by plan."""
    changing: bool = False
    """What is under way is one."""
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
        webs = [""]
        if stop.per_web:
            webs = [of_web(web + 1) for web in range(scenario.unwind.webs)]
        for web in webs:
            found.append(_new_cause(site, stop, station, web, rank))
    return Row("stop causes", len(found), found)


def _new_cause(site: Site, stop: Stop, station: int, web: str, rank: int) -> Cause:
    name = stop.cause + web
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
        who=who_can_mend(site.scenario, stop.cause, here),
        priority=stop.priority if stop.priority is not None else usual,
        spoils_cuts=stop.spoils_cuts,
        spoils_web_um=round(stop.spoils_web_m * 1e6),
        spoils_pockets=stop.spoils_pockets,
        spoils_reams=stop.spoils_reams,
        interval=site.chance.stream(stop.interval, unit, here, name, "interval"),
        restore=site.chance.stream(stop.restore_min, MINUTE, here, name, "restore"),
        change=site.chance.none(),
        change_number=-1,
        change_people=stop.people_to_change,
        changed_after=NEVER,
        alarm=Alarm(rank, CAUSE, len(site.stop_causes)),
    )
    if stop.changed_every is not None and stop.change_min is not None:
        cause.change = site.chance.stream(stop.change_min, MINUTE, here, name, "change")
        cause.change_number = site.causes.number(stop.cause + BY_PLAN + web, Kind.SET_UP)
        cause.changed_after = max(1, round(min(stop.changed_every * unit, NEVER)))
    cause.due = _first_due(site, stop, cause, name)
    if stop.since_last is not None:
        cause.left = cause.due
        # It has not happened in the run-in.
        cause.due = NEVER if site.run_in_ns else cause.left
    site.stop_causes.append(cause)
    return cause


def _first_due(site: Site, stop: Stop, cause: Cause, name: str) -> int:
    """What is left of the first interval, and whether a change by plan ends it."""
    law, every, used = stop.interval, stop.changed_every, _used(site, stop, name)
    unit = _UNITS[cause.meter]

    def first(left: Callable[[float], float]) -> int:
        return first_of_luck(cause.interval, unit, left)

    age = 0.0
    if used is not None:
        age, left = used, first(lambda luck: residual_life_after(law, used, luck))
    elif site.scenario.start.state == "new":
        left = first_draw(cause.interval)
    elif every is None:
        left = first(lambda luck: residual_life(law, luck))
    else:
        met = site.chance.uniform(site.stations[cause.station], name, "age")
        left = first(lambda luck: in_use_under_plan(law, every, luck, met)[0])
        age = in_use_under_plan(law, every, cause.interval.source.first_luck, met)[1]
    if every is None:
        return left
    to_change = max(1, cause.changed_after - round(age * unit))
    cause.by_plan = to_change < left
    return min(left, to_change)


def _used(site: Site, stop: Stop, name: str) -> float | None:
    """How far its meter is said to have come."""
    if site.state is None:
        return stop.since_last
    of_all = None
    for wear in site.state.wear:
        if wear.cause == stop.cause:
            if wear.web is not None and name == stop.cause + of_web(wear.web):
                return wear.used
            if wear.web is None:
                of_all = wear.used
    return of_all


def of_web(web: int) -> str:
    """What stands behind the name of a cause that is one web's own; 1 for the first."""
    return f" (web {web})"


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
    cause.changing = cause.by_plan
    if cause.meter != CLOCK_H:
        cause.next_due = reading + _lasts(line, cause)
    if cause.changing:
        return draw(line, cause.change)
    return draw(line, cause.restore)


def _lasts(line: Line, cause: Cause) -> int:
    """How long it is to the next time, and whether that is for a change by plan."""
    interval = max(1, draw(line, cause.interval))
    cause.by_plan = cause.changed_after < interval
    return min(interval, cause.changed_after)


def spoils_reams(cause: Cause) -> int:
    """Reams that it spoils when it next falls due; a change by plan spoils none."""
    return 0 if cause.by_plan else cause.spoils_reams


def cause_mended(line: Line, cause: Cause) -> None:
    """It is mended: it may fall due again."""
    if cause.meter != CLOCK_H:
        cause.due = cause.next_due
    else:
        cause.due = line.now_ns + _lasts(line, cause)
        set_alarm(line, cause.alarm, cause.due)


def cause_begins_to_count(line: Line, cause: Cause, reading: int) -> None:
    """Counting begins where its meter reads so much."""
    if cause.left >= 0:
        cause.due = reading + cause.left
        watch_clock(line, cause)
