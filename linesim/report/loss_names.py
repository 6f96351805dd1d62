"""What the losses of a line, and what they are for, are called."""

from __future__ import annotations

from linesim.record.capacity import SHEETER
from linesim.record.states import HAND_RAMP, RUN_UP, State
from linesim.report import words
from linesim.report.plain import the_station
from linesim.scenario import Scenario
from linesim.scenario.stops import BY_PLAN
from linesim.studies import RunFigures
from linesim.studies.figures import LINE, RATED
from linesim.studies.lost_for import (
    PACE,
    PROCESS_REJECTS,
    SLOW,
    START_REJECTS,
    LostFor,
    is_of_the_sheeter,
)

STARTS = "starts after stops"
_BELOW_TOP = "running below its top speed"
_BY_THEMSELVES = (RUN_UP, HAND_RAMP, "splice", "reel change")
"""Slow running for these is part of what they take, as in the gap by cause."""

_CAUSES = {
    "splice": "splices",
    "reel change": "reel changes",
    "web break": "web breaks",
    "wrapping roll": "roll changes",
    "pallet change": "pallet changes",
    "wrapper jam": "wrapper jams",
    "outfeed jam": "outfeed jams",
    "blank jam": "blank jams",
    "change of size": "changes of size",
    "change of grade": "changes of grade",
    "change of wrapping": "changes of wrapping",
    "full pallets wait": "full pallets that nobody fetches",
    RUN_UP: STARTS,
    HAND_RAMP: STARTS,
    "bridge level": "the levels of the bridge",
    "bridge at stop level": "the levels of the bridge",
    "pockets full": "full pockets",
}
"""What happens again and again goes by its plural; what is said of one moment, by its sense."""

_WAITS = {State.STARVED.words: "waiting for", State.BLOCKED.words: "standing behind"}
WAITED_FOR = (State.WAITING_PEOPLE.words, State.WAITING_REEL.words)


def rated_per_h(run: RunFigures) -> float:
    """Reams an hour by the nameplate."""
    return 60 * (run.effectiveness[LINE][RATED] or 0.0)


def loss_name(scenario: Scenario, row: LostFor) -> tuple[str, str]:
    """What a loss is called, and its cause where that says more."""
    kind, cause = row.kind, cause_name(row.cause)
    where = SHEETER if is_of_the_sheeter(row.station) else row.station
    if kind == SLOW:
        by_itself = words.without_web(row.cause) in _BY_THEMSELVES
        return (cause, "") if by_itself else (_BELOW_TOP, cause)
    if kind == START_REJECTS:
        return STARTS, ""
    if kind == PROCESS_REJECTS:
        return "rejects", ""
    if kind == PACE:
        return f"the pace of {the_station(scenario, where)}", cause
    if kind in _WAITS:
        return f"{_WAITS[kind]} {the_station(scenario, where)}", cause
    if kind in WAITED_FOR:
        return kind, cause
    if where != SHEETER:
        return f"stops of {the_station(scenario, where)}", cause
    return cause or kind, ""


def cause_name(name: str) -> str:
    """A cause, of all webs together, as people speak of it."""
    name = words.without_web(name)
    return _CAUSES.get(name.removesuffix(BY_PLAN), name)


def how_lost(scenario: Scenario, row: LostFor) -> str:
    """In which way a loss was felt, whatever it was for."""
    where = SHEETER if is_of_the_sheeter(row.station) else row.station
    if row.kind in (START_REJECTS, PROCESS_REJECTS, *WAITED_FOR):
        return row.kind
    if row.kind == SLOW:
        return _BELOW_TOP
    if row.kind in (PACE, *_WAITS):
        return loss_name(scenario, row)[0]
    return f"stops of {the_station(scenario, where)}"
