"""The run-in: what a line runs before counting begins, so that it starts as it is met.

Residual lives, part rolls and part reels are drawn, and are right from the first moment on. What
passes quickly (the level of the bridge, who is at which job, what is down, which stands are being
prepared) is found by running: shifts end to end, with their breaks, on the luck of the run.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.line import told
from linesim.line.machine import machine_begins_to_count
from linesim.line.webs import webs_begin_to_count
from linesim.scenario.units import HOUR

if TYPE_CHECKING:
    from linesim.line.line import Line
    from linesim.scenario import Scenario


def run_in_ns(scenario: Scenario) -> int:
    """Length of the run-in, ns; 0 where everything is new.

    Orders begin on an empty line: the reams of a run-in would belong to none of them.
    """
    if scenario.start.state == "new" or scenario.order:
        return 0
    return round(scenario.start.run_in_h * HOUR)


def said_otherwise(scenario: Scenario) -> bool:
    """Whether the scenario says of reels or stop causes how they are when counting begins."""
    laid_out = scenario.reels.at_start in ("fresh", "staggered")
    return laid_out or any(stop.since_last is not None for stop in scenario.stop)


def begin_as_said(line: Line) -> None:
    """The run-in is over: what the scenario says of reels and stop causes becomes true.

    A machine that moves stands for no time meanwhile: so it looks again what is due.
    """
    told.settle(line)
    webs_begin_to_count(line)
    for machine in line.machines:
        moves = not machine.stands
        if moves:
            told.paused(line, machine)
        machine_begins_to_count(line, machine)
        if moves:
            told.resumed(line, machine)
    told.show(line)
