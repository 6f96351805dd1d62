"""What the controls do at certain levels of the bridge: slow the webs, stop them, restart them.

A sheeter stopped by level starts again only when the bridge has fallen to the restart level: fewer
starts and fewer rejects, and less output (Gebennini, Grassi and Fantuzzi 2015). Catching up is the
wrappers' own affair.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from linesim.line import told
from linesim.line.accounts import BLOCKED
from linesim.line.bridge import wait_for_level
from linesim.line.clock import NEVER
from linesim.line.stoppage import BY_LEVEL, Stoppage, new_stoppage
from linesim.record.states import Kind

if TYPE_CHECKING:
    from linesim.line.line import Line
    from linesim.line.site import Site


@dataclass(slots=True)
class Levels:
    """Slow, stop and restart level, reams; NEVER where there is none."""

    slow_at: int
    stop_at: int
    restart_at: int
    hold: Stoppage
    slowed: bool = False
    stopped: bool = False


def new_levels(site: Site) -> Levels:
    """Those of the scenario."""
    table = site.scenario.bridge
    stop_at = NEVER if table.stop_at_reams is None else table.stop_at_reams
    restart_at = stop_at - 1 if table.restart_at_reams is None else table.restart_at_reams
    hold = new_stoppage(0, BY_LEVEL)
    hold.cause = site.causes.number("bridge at stop level", Kind.RATE)
    hold.state = BLOCKED
    return Levels(
        slow_at=NEVER if table.slow_at_reams is None else table.slow_at_reams,
        stop_at=stop_at,
        restart_at=restart_at,
        hold=hold,
    )


# -- rules ---------------------------------------------------------------------------------------


def level_rose(line: Line) -> None:
    """A set has been put down."""
    levels, level = line.levels, line.bridge.level
    if not levels.slowed and level >= levels.slow_at:
        levels.slowed = True
        told.set_slow(line, True)
        wait_for_level(line, levels.slow_at - 1)
    if not levels.stopped and level >= levels.stop_at:
        levels.stopped = True
        told.add_hold(line, levels.hold)
        wait_for_level(line, levels.restart_at)


def level_fell(line: Line) -> None:
    """The level has fallen to something that somebody waits for."""
    levels, level = line.levels, line.bridge.level
    if levels.slowed:
        if level < levels.slow_at:
            levels.slowed = False
            told.set_slow(line, False)
        else:
            wait_for_level(line, levels.slow_at - 1)
    if levels.stopped:
        if level <= levels.restart_at:
            levels.stopped = False
            told.release_hold(line, levels.hold)
        else:
            wait_for_level(line, levels.restart_at)
    told.room(line)
