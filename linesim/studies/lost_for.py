"""What a line lost between its nameplate and its good output, by cause.

Everything is taken in the time of the station that is slowest by nameplate, in which the line is
judged (:func:`~linesim.record.effectiveness.line_effectiveness`): what it could have made and did
not is what the line lost. Of its own stops and of its waits each names its cause, a wait that of
the station it was really for. What is left of the gap after these and the rejects is slow running,
so that the rows add up to the gap, work still on the line aside.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from linesim.record import Record
from linesim.record.accounts import knives
from linesim.record.capacity import SHEETER, slowest
from linesim.record.effectiveness import Effectiveness, shares_of
from linesim.record.products import products
from linesim.record.states import PRODUCING, WAITING, Kind, State
from linesim.scenario import WEB_STATIONS
from linesim.scenario.units import HOUR

SLOW, START_REJECTS, PROCESS_REJECTS = "slow", "rejects after starts", "rejects"
PACE = "pace"


@dataclass(frozen=True)
class LostFor:
    """Hours of the line that one cause took."""

    kind: str
    """A state in words, ``pace`` for a wait for a station that runs or comes up to speed, ``slow``
    or a reject. A wait for a stop in which that station waited for
    people or a reel is a wait for these."""
    station: str
    """That had the cause; parts of the sheeter by their names. Empty for rejects."""
    cause: str
    """Empty where a station that runs was waited for."""
    hours: float


def lost_for(record: Record, line: Effectiveness) -> tuple[LostFor, ...]:
    """What the gap went to; ``line`` is the effectiveness of the line in this record.

    Where products have several slowest stations it is the one that is so for the longest.
    """
    station = _reference(record)
    sums: dict[tuple[str, str, str], float] = {}
    slowed: dict[str, float] = {}
    for number, share in shares_of(record, station).items():
        for kind, where, cause, ns in _rows(record, number):
            part = float(share) * ns
            if kind == SLOW:
                slowed[cause] = slowed.get(cause, 0.0) + part
            else:
                sums[kind, where, cause] = sums.get((kind, where, cause), 0.0) + part
    sums[START_REJECTS, "", ""], sums[PROCESS_REJECTS, "", ""] = line.start_up_ns, line.process_ns
    gap = line.planned_busy_ns - line.good_ns - line.on_the_line_ns
    left, whole = max(0.0, gap - sum(sums.values())), sum(slowed.values())
    for cause, part in (slowed or {"": 1.0}).items():
        sums[SLOW, station, cause] = left * (part / whole if whole else 1.0)
    rows = (LostFor(*key, ns / HOUR) for key, ns in sorted(sums.items()) if ns)
    return tuple(rows)


def _reference(record: Record) -> str:
    """The station that is slowest by nameplate, for longest."""
    made_of = products(record.scenario)
    hours: dict[str, Fraction] = {}
    for part in record.parts:
        station, _ = slowest(record.scenario, made_of[part.order])
        length = Fraction(part.end_ns - part.start_ns)
        hours[station] = hours.get(station, Fraction(0)) + length
    return max(hours, key=hours.__getitem__)


def _rows(record: Record, number: int) -> Iterator[tuple[str, str, str, float]]:
    """Kind, station that had the cause, cause and ns of what a station did not do at its rate."""
    for (station, code, cause, root, why), ns in sorted(record.sums.items()):
        state = State(code)
        if station != number or state == State.RUNNING:
            continue
        if state == State.SLOWED:
            name = record.stations[root] if root >= 0 else record.causes[cause]
            yield SLOW, "", name, ns
        elif state not in WAITING or root < 0:
            if state != State.PLANNED and record.cause_kinds[cause] != Kind.CALENDAR:
                yield state.words, record.stations[number], record.causes[cause], ns
        else:
            yield from _waits(record, number, (state, root, why), ns)


def _waits(
    record: Record, number: int, wait: tuple[State, int, int], ns: int
) -> Iterator[tuple[str, str, str, float]]:
    """A wait as a row, or as two where the station waited for stood and waited for people."""
    state, root, why = wait
    there, cause = record.stations[root], record.causes[why] if why >= 0 else ""
    kind = record.cause_kinds[why] if why >= 0 else Kind.RATE
    if kind == Kind.CALENDAR:
        return
    # Webs move as one: what another part of the way stands for is the knives' own stop.
    own = number == root or (number == knives(record) and there in WEB_STATIONS)
    if kind == Kind.RATE:
        yield State.DOWN.words if own and cause else PACE, there, cause, ns
        return
    for at_root, part in _as_at_root(record, root, why):
        waited = at_root in (State.WAITING_PEOPLE, State.WAITING_REEL)
        yield (at_root if own or waited else state).words, there, cause, ns * part


def _as_at_root(record: Record, root: int, why: int) -> list[tuple[State, float]]:
    """In which shares the part waited for spent its own time for the cause, by state."""
    own: dict[State, int] = {}
    for (station, code, cause, _, _), ns in record.sums.items():
        state = State(code)
        if (station, cause) == (root, why) and state not in WAITING + PRODUCING:
            own[state] = own.get(state, 0) + ns
    whole = sum(own.values())
    return [(state, ns / whole) for state, ns in own.items()] if whole else [(State.DOWN, 1.0)]


def is_of_the_sheeter(station: str) -> bool:
    """Whether a station is the sheeter or one of its parts."""
    return station == SHEETER or station in WEB_STATIONS
