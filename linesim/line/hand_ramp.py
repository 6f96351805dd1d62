"""A ramp by hand: after the webs were threaded the crew brings them up in steps.

Each step has a part of the rated speed and lasts its minutes, the run-up to it among them. Webs
that stand before the last step is over begin with the first again.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line.clock import NEVER
from linesim.line.line import Line, Site
from linesim.line.typed import Row
from linesim.record.states import HAND_RAMP, Kind
from linesim.scenario.units import MINUTE

NO_STEP = -1


@dataclass(slots=True)
class HandRamp:
    """The steps, and which of them is under way."""

    parts: Row[float]
    """Of rated speed, ..."""
    lengths_ns: Row[int]
    """... and how long each lasts."""
    after_ns: int
    """Any standstill of at least this asks for it; NEVER where only threading does."""
    rejects: bool
    """What is cut in it leaves at the gate."""
    cause: int
    due: bool = False
    """The next start is by hand."""
    step: int = NO_STEP
    until_ns: int = NEVER
    """When the step is over."""
    stood_ns: int = 0
    """When the webs last came to stand."""


def new_hand_ramp(site: Site) -> HandRamp:
    table = site.scenario.cutter
    parts = table.hand_ramp_fractions
    lengths_ns = [round(minutes * MINUTE) for minutes in table.hand_ramp_min]
    after_min = table.hand_ramp_after_min
    return HandRamp(
        parts=Row("steps of a ramp", len(parts), parts),
        lengths_ns=Row("steps of a ramp", len(parts), lengths_ns),
        after_ns=NEVER if after_min is None else round(after_min * MINUTE),
        rejects=table.hand_ramp_rejects,
        cause=site.causes.number(HAND_RAMP, Kind.RATE) if parts else 0,
    )


def threaded_anew(line: Line) -> None:
    """The next start is by hand."""
    ramp = line.webs.ramp
    ramp.due = len(ramp.parts) > 0


def ramp_stands(line: Line) -> None:
    """The webs have come to stand."""
    ramp = line.webs.ramp
    ramp.stood_ns = line.now_ns
    if ramp.step != NO_STEP:
        ramp.due = True
        _end(line)


def begin_hand_ramp(line: Line) -> None:
    """The webs start, by hand where that is due."""
    ramp = line.webs.ramp
    if len(ramp.parts) == 0:
        return
    if not ramp.due and line.now_ns - ramp.stood_ns < ramp.after_ns:
        return
    ramp.due = False
    ramp.step = 0
    ramp.until_ns = line.now_ns + ramp.lengths_ns[0]
    line.webs.gate.shut = ramp.rejects


def next_step(line: Line) -> None:
    """A step is over."""
    ramp = line.webs.ramp
    ramp.step += 1
    if ramp.step < len(ramp.parts):
        ramp.until_ns += ramp.lengths_ns[ramp.step]
    else:
        _end(line)


def _end(line: Line) -> None:
    line.webs.ramp.step = NO_STEP
    line.webs.ramp.until_ns = NEVER
    line.webs.gate.shut = False


def ramp_speed(line: Line) -> float:
    """Speed of the step under way, um/ns."""
    return line.goods.speed * line.webs.ramp.parts[line.webs.ramp.step]


def keeps_to_ramp(line: Line) -> bool:
    """The webs have the speed of a step or head for it, and for nothing slower."""
    if line.webs.ramp.step == NO_STEP:
        return False
    return line.webs.motion.target >= ramp_speed(line)
