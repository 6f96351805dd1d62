"""Whom the others wait for: how each station of the line waited in a run, and in several."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.record import Record
from linesim.record.accounts import knives
from linesim.record.capacity import SHEETER, TRANSFER, WRAPPERS, station_rates
from linesim.record.constraint import Waits, by_pattern
from linesim.record.effectiveness import shares_of, speed_loss_by_web_ns
from linesim.record.states import HAND_RAMP, RUN_UP, TRANSFER_PACE, State

SLOWED_BY_LEVEL = "bridge level"
INSIDE = "transfer behind sheeter"


def waits_in(record: Record) -> tuple[Waits, ...]:
    """Shares of time that the line's stations waited, those with a buffer between them.

    Sheeter and transfer have none between them and are one here. They are blocked while the
    sheeter stands, or by how much it is slowed, for something beyond the transfer, or while the
    transfer holds a set, whichever is more. Wrappers are taken together, and carton packers.
    """
    transfer = record.station(TRANSFER)
    beyond, inside = _front(record)
    found = [Waits(SHEETER, 0.0, max(beyond, _share(record, transfer, State.BLOCKED)))]
    for name in (WRAPPERS, *record.scenario.end_places):
        shares = shares_of(record, name)
        together = [
            sum(float(part) * _share(record, number, state) for number, part in shares.items())
            for state in (State.STARVED, State.BLOCKED)
        ]
        found.append(Waits(name, together[0], together[1]))
    return (*found, Waits(INSIDE, _share(record, transfer, State.STARVED), inside))


def _share(record: Record, station: int, state: State) -> float:
    return record.hours_in(station, state) / record.hours


def _front(record: Record) -> tuple[float, float]:
    """Shares of time the sheeter lost to what is beyond the transfer, and to the transfer."""
    at, transfer = knives(record), record.station(TRANSFER)
    lost = _lost_by_level(record, at)
    rated = {rate.station: rate.rated for rate in station_rates(record.scenario)}
    kept_back = max(0.0, 1 - rated[TRANSFER] / rated[SHEETER])
    beyond = inside = 0.0
    for (station, state, cause, root, _), ns in record.sums.items():
        if station != at:
            continue
        if state == State.SLOWED and record.causes[cause] == SLOWED_BY_LEVEL:
            beyond += lost * ns
        elif state == State.SLOWED and record.causes[cause] == TRANSFER_PACE:
            inside += kept_back * ns
        elif state == State.BLOCKED and root == transfer:
            inside += ns
        elif state == State.BLOCKED and root > transfer:
            beyond += ns
    length = record.end_ns - record.start_ns
    return beyond / length, inside / length


def _lost_by_level(record: Record, at: int) -> float:
    """The part of its speed that the sheeter lost while the bridge's level slowed it.

    Where it falls in proportion: what is left of all its lost time when that of other slow spans is
    taken away, a run-up being half as fast on average.
    """
    scenario = record.scenario
    if scenario.bridge.slowing == "at_once":
        return 1 - scenario.bridge.slow_to_fraction
    rates = {rate.station: rate.rated for rate in station_rates(scenario)}
    cutter, splice = scenario.cutter, scenario.unwind.splice_speed_m_per_min
    steps = list(zip(cutter.hand_ramp_fractions, cutter.hand_ramp_min, strict=True))
    minutes = sum(length for _, length in steps) or 1.0
    parts = {
        RUN_UP: 0.5,
        HAND_RAMP: 1 - sum(part * length for part, length in steps) / minutes,
        "splice": max(0.0, 1 - splice / cutter.web_speed_m_per_min),
        TRANSFER_PACE: max(0.0, 1 - rates[TRANSFER] / rates[SHEETER]),
    }
    slowed: dict[str, int] = {}
    for (station, state, cause, *_), ns in record.sums.items():
        if station == at and state == State.SLOWED:
            name = record.causes[cause]
            slowed[name] = slowed.get(name, 0) + ns
    by_level = slowed.get(SLOWED_BY_LEVEL, 0)
    left = speed_loss_by_web_ns(record)
    left -= sum(round(part * slowed.get(name, 0)) for name, part in parts.items())
    return min(max(left / by_level, 0.0), 1.0) if by_level else 0.0


def waits_of(waits: Sequence[Waits], station: str) -> Waits:
    """How a station waited in a run; the transfer by what it and the sheeter are to each other."""
    name = INSIDE if station == TRANSFER else station
    found = next(each for each in waits if each.station == name)
    return Waits(station, found.starved, found.blocked)


def mean_waits(rows: Sequence[Sequence[Waits]]) -> tuple[Waits, ...]:
    """Mean shares of time starved and blocked, by station, over the waits of runs."""
    count = len(rows)
    return tuple(
        Waits(
            each[0].station,
            sum(w.starved for w in each) / count,
            sum(w.blocked for w in each) / count,
        )
        for each in zip(*rows, strict=True)
    )


def held_by(rows: Sequence[Sequence[Waits]]) -> str:
    """The station that holds the line by the pattern of waiting (Kuo, Lim and Meerkov 1996)."""
    *line, inside = mean_waits(rows)
    found = by_pattern(line)
    # Sheeter and transfer have no buffer between them: of the two, the one that is waited for.
    return TRANSFER if found == SHEETER and inside.blocked > inside.starved else found
