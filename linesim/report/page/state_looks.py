"""How each state looks in a strip and a drawing: its colour by name, and its hatch.

What runs, is slowed or stands by plan is quiet and has no hatch; any two of the others differ in
theirs, for who sees no colour.
"""

from __future__ import annotations

from linesim.record import State
from linesim.report.page.drawing import Hatch

LOOKS: dict[State, tuple[str, Hatch]] = {
    State.RUNNING: ("running", ""),
    State.SLOWED: ("slowed", ""),
    State.STARVED: ("starved", "left"),
    State.BLOCKED: ("blocked", "right"),
    State.DOWN: ("down", "cross"),
    State.CHANGEOVER: ("changeover", "upright"),
    State.WAITING_PEOPLE: ("people", "level"),
    State.WAITING_REEL: ("reel", "square"),
    State.PLANNED: ("planned", ""),
}
