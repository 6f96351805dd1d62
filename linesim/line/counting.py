"""What is told to a line as a whole: run on, begin to count, end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.line.accounts import close_accounts, forget_accounts
from linesim.line.books import begin_book, close_page
from linesim.line.clock import next_alarm
from linesim.line.events import ring
from linesim.line.floor import settle
from linesim.line.packing_states import outfeed_pauses

if TYPE_CHECKING:
    from linesim.line.line import Line


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
    begin_book(line)
    if line.has_outfeed:
        # A wait that began before is counted from here.
        line.outfeed.idle_since_ns = max(line.outfeed.idle_since_ns, line.now_ns)


def end_counting(line: Line) -> None:
    """The run is over."""
    _close(line)
    close_page(line, line.book)


def _close(line: Line) -> None:
    settle(line)
    if line.has_outfeed:
        outfeed_pauses(line)
    close_accounts(line)
