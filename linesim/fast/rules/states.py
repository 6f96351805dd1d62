"""Numbers of states, kinds of cause and losses, as in ``record.states``."""

from __future__ import annotations

from linesim.record.states import Kind, Loss, State

RUNNING, SLOWED, STARVED, BLOCKED = (
    int(s) for s in (State.RUNNING, State.SLOWED, State.STARVED, State.BLOCKED)
)
DOWN, CHANGEOVER = int(State.DOWN), int(State.CHANGEOVER)
WAITING_PEOPLE, WAITING_REEL = int(State.WAITING_PEOPLE), int(State.WAITING_REEL)
PLANNED = int(State.PLANNED)
RATE, STOP, SET_UP, CALENDAR = (int(k) for k in (Kind.RATE, Kind.STOP, Kind.SET_UP, Kind.CALENDAR))
PRODUCING_LOSS, PLANNED_LOSS = int(Loss.PRODUCING), int(Loss.PLANNED)
BREAKDOWN_LOSS, SET_UP_LOSS = int(Loss.BREAKDOWN), int(Loss.SET_UP)
MINOR_LOSS = int(Loss.MINOR)
