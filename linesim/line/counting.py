"""What is told to a line as a whole: run on, begin as it is met, begin to count, end.

Residual lives, part rolls and part reels are drawn, and are right from the first moment on. What
passes quickly (the level of the bridge, who is at which job, what is down, which stands are being
prepared) is found by a run-in: shifts end to end, with their breaks, on the luck of the run.
"""

from __future__ import annotations

from linesim.line import told
from linesim.line.accounts import close_accounts, forget_accounts
from linesim.line.books import close_page, turn_page
from linesim.line.clock import next_alarm
from linesim.line.events import ring, settle
from linesim.line.line import Line
from linesim.line.machine import machine_begins_to_count
from linesim.line.states import end_pauses
from linesim.line.webs import webs_begin_to_count
from linesim.scenario import Scenario
from linesim.scenario.units import HOUR


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


def run_some(line: Line, until_ns: int, most: int) -> bool:
    """Let everything happen that happens before a moment, but ``most`` alarms; True: more do."""
    for _ in range(most):
        place = next_alarm(line)
        if place < 0:
            break
        alarm = line.alarms.pending[place]
        if alarm.at_ns >= until_ns:
            break
        line.now_ns = alarm.at_ns
        ring(line, alarm)
        if line.given_up != 0 or line.fault != 0:
            return False
    else:
        return True
    line.now_ns = until_ns
    return False


def begin_counting(line: Line) -> None:
    """Accounts and books start afresh from what is on the line."""
    _close(line)
    forget_accounts(line)
    turn_page(line)
    line.first_page = line.page
    for end in line.end_of_line:
        # A wait that began before is counted from here.
        end.idle_since_ns = max(end.idle_since_ns, line.now_ns)


def end_counting(line: Line) -> None:
    """The run is over."""
    _close(line)
    close_page(line)


def _close(line: Line) -> None:
    settle(line)
    for end in line.end_of_line:
        end_pauses(line, end)
    close_accounts(line)
