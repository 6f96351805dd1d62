"""A run by compiled code: the same rules, on the same line in flat memory."""

from __future__ import annotations

import ctypes
from collections.abc import Callable

from linesim.fast.machine_code import Engine, symbol_of
from linesim.fast.memory import Memory
from linesim.interrupts import interrupt_put_off
from linesim.line.counting import run_some
from linesim.line.interpreted import Helper, check
from linesim.line.line import Line, Site

_HELPER = ctypes.CFUNCTYPE(None, ctypes.c_int64, ctypes.c_int64)
_ALARMS_AT_ONCE = 20_000
"""So many ring before an interrupt is heard: a few hundredths of a second."""


class Compiled:
    """A line that is run by compiled code; see ``simulate.Run``."""

    def __init__(self, engine: Engine, site: Site, line: Line) -> None:
        self.line = line
        self._engine = engine
        self._error: BaseException | None = None
        self._helper = _HELPER(self._help_guarded)
        line.helper_at = ctypes.cast(self._helper, ctypes.c_void_p).value or 0
        memory = self._memory = Memory(line)
        self._help = Helper(site, line, memory.number, memory.taken, memory.point)
        self._logs = line.history.logs()
        for log in self._logs:
            log.rows.clear()  # what was noted so far lies in memory
        line.history.speeds.clear()

    def run_to(self, until_ns: int) -> None:
        while self._call(run_some, until_ns, _ALARMS_AT_ONCE):
            pass

    def do(self, rule: Callable[[Line], None]) -> None:
        self._call(rule)

    def _call(self, rule: Callable[..., object], *more: int) -> int:
        call = self._engine[symbol_of(rule)]
        with interrupt_put_off():
            answer = call(self._memory.address, *more)
        if self._error is not None:
            raise self._error
        line, memory = self.line, self._memory
        line.given_up, line.fault = memory.number(line, "given_up"), memory.number(line, "fault")
        check(line)
        return answer

    def fetch(self) -> Line:
        """Of the line as it is now, what a record is made of."""
        line, memory = self.line, self._memory
        for log in self._logs:
            log.take(memory.taken(log, "rows"))
        line.history.take_speeds(memory.taken(line.history, "speeds"))
        memory.fetch(line.accounts)
        memory.fetch(line.orders)
        line.first_page = memory.number(line, "first_page")
        line.page = memory.number(line, "page")
        for page in line.pages[line.first_page - 1 : line.page + 1]:
            memory.fetch(page)
        for wrapper in line.wrappers:
            wrapper.busy = bool(memory.number(wrapper, "busy"))
            wrapper.taken_ns = memory.number(wrapper, "taken_ns")
        line.buckets[:] = memory.values(line, "buckets").tolist()
        return line

    def fetch_all(self) -> Line:
        """All of the line as it is now; it cannot be run on."""
        self._memory.fetch(self.line)
        return self.line

    def _help_guarded(self, what: int, number: int) -> None:
        try:
            self._help(what, number)
        except BaseException as error:  # it cannot pass through compiled code
            self._error = error
            self._memory.set_number(self.line, "given_up", -1)
