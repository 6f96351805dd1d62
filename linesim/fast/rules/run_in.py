"""Compiled: what becomes true when the run-in is over, as in ``line.run_in``."""

from __future__ import annotations

from linesim.fast.parts import part
from linesim.fast.rules.calling import paused, resumed, settle, show
from linesim.fast.rules.machine import machine_begins_to_count, stands
from linesim.fast.rules.stations import WEBS_N
from linesim.fast.rules.webs import webs_begin_to_count


@part
def begin_as_said(s):
    """Follows ``begin_as_said``."""
    settle(s)
    webs_begin_to_count(s)
    for machine in range(s.stations - WEBS_N):
        moves = not stands(s, machine)
        if moves:
            paused(s, machine)
        machine_begins_to_count(s, machine)
        if moves:
            resumed(s, machine)
    show(s)
