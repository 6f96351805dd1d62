"""The bridge: a belt that carries reams to the wrappers and holds them when those stand.

At certain levels of it controls slow the webs, stop them, restart them. A sheeter stopped by level
starts again only when the bridge has fallen to the restart level: fewer starts and fewer rejects,
and less output (Gebennini, Grassi and Fantuzzi 2015). Catching up is the wrappers' own affair.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import machine, told
from linesim.line.accounts import BLOCKED, run
from linesim.line.causes import REAMS, RUNNING_H, new_causes
from linesim.line.clock import BRIDGE, NEVER, RANK_BRIDGE, Alarm, set_alarm
from linesim.line.history import note
from linesim.line.line import Line, Site
from linesim.line.typed import Row
from linesim.record.states import Kind

NOBODY_WAITS = -1
_MOST_SETS = 1 << 17


@dataclass(slots=True, kw_only=True)
class Bridge(machine.Machine):
    """First in, first out. The level counts reams on the belt, travelling ones too.

    The belt's own clock stands while the belt stands; a ream is at the wrappers when that clock
    has moved on by the travel time. ``run_ns`` is what it read when the belt came to a stand,
    ``done`` counts what was put down.
    """

    alarm: Alarm
    places: int
    sets_aside: bool
    """What finds no place is set aside; nobody waits."""
    travel_ns: int
    sets_ready_ns: Row[int]
    """Round and round, of the sets on it: what the belt's clock reads when each is at the
    wrappers, ..."""
    sets_reams: Row[int]
    """... and how many reams of it are left."""
    heeded_level: int
    """A level from which on every set matters at its moment: what lies below can wait."""
    first: int = 0
    """Place of the first set on it, ..."""
    sets: int = 0
    """... and how many there are."""
    level: int = 0
    behind_ns: int = 0
    """How far the belt's clock is behind."""
    waited_level: int = NOBODY_WAITS
    """Somebody wants to know when the level has fallen to this."""


def new_bridge(site: Site) -> Bridge:
    scenario, station = site.scenario, site.stations.index("bridge")
    table, places = scenario.bridge, scenario.bridge_places
    causes = new_causes(site, station, RANK_BRIDGE)
    # The wrappers' rules look at the level too: what they did before is settled first.
    levels_heeded = (
        table.slow_at_reams,
        table.stop_at_reams,
        table.catch_up_at_reams,
        scenario.divert.second_at_reams,
    )
    heeded = [level for level in levels_heeded if level is not None]
    sets_aside = table.when_full == "set_aside"
    room = min(places, _MOST_SETS)
    return Bridge(
        what=BRIDGE,
        station=station,
        causes=causes,
        stops=machine.stops_of(site, station, causes),
        alarm=Alarm(RANK_BRIDGE, BRIDGE),
        places=places,
        sets_aside=sets_aside,
        travel_ns=scenario.bridge_travel_ns,
        sets_ready_ns=Row("sets on the bridge", room, [0] * room),
        sets_reams=Row("sets on the bridge", room, [0] * room),
        heeded_level=0 if sets_aside else min([NEVER, *heeded]),
    )


def room_for(line: Line, reams: int) -> bool:
    """The belt moves and has places enough, or what does not fit is set aside."""
    bridge = line.bridge
    if bridge.stands:
        return False
    if bridge.level + reams > bridge.places:
        told.move_on(line)  # the level known so far can only have fallen since
    return bridge.sets_aside or bridge.level + reams <= bridge.places


def wait_for_level(line: Line, level: int) -> None:
    """Somebody waits for the level to fall to this."""
    line.bridge.waited_level = max(line.bridge.waited_level, level)
    told.plan_packing(line)


def place_set(line: Line, reams: int, full_ns: int) -> None:
    bridge = line.bridge
    if bridge.level + reams >= bridge.heeded_level:
        told.move_on(line)
    if bridge.sets_aside:
        fit = max(0, min(reams, bridge.places - bridge.level))
        line.book.set_aside += reams - fit
        told.lose(line, reams - fit)
        reams = fit
    if line.keeps:
        note(line, line.history.sets, full_ns, line.now_ns, reams)
    if reams > 0:
        bridge.level += reams
        bridge.done += reams
        room = len(bridge.sets_reams)
        if bridge.sets == room:
            line.given_up = bridge.sets_reams.code
        place = (bridge.first + bridge.sets) % room
        bridge.sets_ready_ns[place] = _belt_clock_ns(line) + bridge.travel_ns
        bridge.sets_reams[place] = reams
        bridge.sets += 1
        told.arrived(line)
        if bridge.level >= bridge.heeded_level:
            told.move_on(line)  # the level is what is left when idle wrappers have taken theirs
    level_rose(line)
    if bridge.done >= bridge.reams_due:
        machine.fall(line, bridge, REAMS, bridge.done)


def _belt_clock_ns(line: Line) -> int:
    bridge = line.bridge
    return bridge.run_ns if bridge.stands else line.now_ns - bridge.behind_ns


def ream_waits(line: Line) -> bool:
    """Whether a ream is at the wrappers, though the belt may stand."""
    bridge = line.bridge
    return bridge.level > 0 and bridge.sets_ready_ns[bridge.first] <= _belt_clock_ns(line)


def head_ready_ns(line: Line) -> int:
    """When the first ream is at the wrappers; NEVER where none comes or the belt stands."""
    bridge = line.bridge
    if bridge.level == 0 or bridge.stands:
        return NEVER
    return bridge.sets_ready_ns[bridge.first] + bridge.behind_ns


def take_ream(line: Line) -> None:
    bridge = line.bridge
    bridge.level -= 1
    bridge.sets_reams[bridge.first] -= 1
    if bridge.sets_reams[bridge.first] == 0:
        bridge.sets -= 1
        bridge.first = (bridge.first + 1) % len(bridge.sets_reams)


def bridge_rings(line: Line) -> None:
    """The belt has run so long that a stop falls due."""
    machine.fall(line, line.bridge, RUNNING_H, line.now_ns - line.bridge.behind_ns)


def watch_running(line: Line) -> None:
    """Set the alarm to where the first stop falls due, while the belt moves."""
    bridge = line.bridge
    due = bridge.running_due_ns
    set_alarm(line, bridge.alarm, NEVER if due == NEVER else due + bridge.behind_ns)


def bridge_paused(line: Line) -> None:
    line.bridge.run_ns = line.now_ns - line.bridge.behind_ns
    set_alarm(line, line.bridge.alarm, NEVER)


def bridge_resumed(line: Line) -> None:
    line.bridge.behind_ns = line.now_ns - line.bridge.run_ns
    watch_running(line)
    told.arrived(line)
    told.show(line)
    told.room(line)


def show_bridge(line: Line) -> None:
    if not machine.show_stop(line, line.bridge):
        run(line, line.bridge.station, line.now_ns)


@dataclass(slots=True)
class Levels:
    """Slow, stop and restart level, reams; NEVER where there is none."""

    slow_at: int
    slow_to: float
    """Part of rated speed from the slow level on, ..."""
    slowest_at: int
    """... or at this level, to which it falls in proportion; NEVER where it falls at once."""
    stop_at: int
    restart_at: int
    hold: machine.Stoppage
    """By which the webs stand for the stop level."""


def new_levels(site: Site) -> Levels:
    table = site.scenario.bridge
    stop_at = NEVER if table.stop_at_reams is None else table.stop_at_reams
    restart_at = stop_at - 1 if table.restart_at_reams is None else table.restart_at_reams
    hold = machine.new_stoppage(0, machine.BY_LEVEL)
    hold.cause = site.causes.number("bridge at stop level", Kind.RATE)
    hold.state = BLOCKED
    in_proportion = table.slowing == "in_proportion" and table.slow_at_reams is not None
    return Levels(
        slow_at=NEVER if table.slow_at_reams is None else table.slow_at_reams,
        slow_to=table.slow_to_fraction,
        slowest_at=min(stop_at, site.scenario.bridge_places) if in_proportion else NEVER,
        stop_at=stop_at,
        restart_at=restart_at,
        hold=hold,
    )


def _follow_level(line: Line) -> None:
    """The fuller the bridge, the slower the webs; each ream that is taken then is news."""
    levels, level = line.levels, line.bridge.level
    if level < levels.slow_at and not line.webs.slow:
        return
    part = 1.0
    if level >= levels.slowest_at:
        part = levels.slow_to
    elif level > levels.slow_at:
        above, room = level - levels.slow_at, levels.slowest_at - levels.slow_at
        part = 1.0 - (1.0 - levels.slow_to) * above / room
    told.follow_level(line, part)
    if part < 1.0:
        wait_for_level(line, level - 1)


def level_rose(line: Line) -> None:
    levels, level = line.levels, line.bridge.level
    if levels.slowest_at != NEVER:
        _follow_level(line)
    elif level >= levels.slow_at and not line.webs.slow:
        told.set_slow(line, True)
        wait_for_level(line, levels.slow_at - 1)
    if level >= levels.stop_at and not levels.hold.holds:
        told.add_hold(line, levels.hold)
        wait_for_level(line, levels.restart_at)


def level_fell(line: Line) -> None:
    """The level has fallen to something that somebody waits for."""
    levels, level = line.levels, line.bridge.level
    if levels.slowest_at != NEVER:
        _follow_level(line)
    elif line.webs.slow:
        if level < levels.slow_at:
            told.set_slow(line, False)
        else:
            wait_for_level(line, levels.slow_at - 1)
    if levels.hold.holds:
        if level <= levels.restart_at:
            told.release_hold(line, levels.hold)
        else:
            wait_for_level(line, levels.restart_at)
    told.room(line)
