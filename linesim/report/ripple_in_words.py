"""What a stop did to the line, and why a station stands, in words.

Times are those of one run, to the second; they are moments of a record and no estimates.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable

from linesim.record.accounts import knives
from linesim.record.capacity import SHEETER, line_rates, station_rates
from linesim.record.record import Record
from linesim.record.ripple import OWN_STATES, Reached, Ripple
from linesim.record.states import WAITING, Kind, State, station_words, wait_words, with_article
from linesim.report.answers.cells import Column
from linesim.report.answers.dates import date_words
from linesim.report.answers.tables import AnswerTable
from linesim.report.plain import capital, listed
from linesim.scenario import WEB_STATIONS
from linesim.scenario.units import MINUTE, SECOND


def duration_words(ns: int) -> str:
    """A length of time, ``ns``, to the second, to a tenth below ten seconds.

    >>> duration_words(84_000_000_000), duration_words(2_500_000_000), duration_words(3_900 * 10**9)
    ('1 min 24 s', '2.5 s', '1 h 5 min')
    """
    if ns < 9_950_000_000:
        return f"{ns / SECOND:.1f} s"
    seconds = (ns + SECOND // 2) // SECOND
    if seconds < 60:
        return f"{seconds} s"
    if seconds < 3600:
        minutes, rest = divmod(seconds, 60)
        return f"{minutes} min {rest} s" if rest else f"{minutes} min"
    hours, rest = divmod((seconds + 30) // 60, 60)
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def clock_words(ns: int, starts: dt.datetime | None = None) -> str:
    """A moment of the run (``ns`` from its start) in hours, minutes and seconds.

    The day and the time of day where it is known when the run ``starts``.

    >>> clock_words(3_725_000_000_000)
    '1:02:05'
    >>> clock_words(3_725_000_000_000, dt.datetime(2026, 3, 2, 6))
    'Mon 2 Mar 07:02:05'
    """
    seconds = ns // SECOND
    if starts is not None:
        at = starts + dt.timedelta(seconds=seconds)
        return f"{date_words(at)}:{at:%S}"
    return f"{seconds // 3600}:{seconds // 60 % 60:02}:{seconds % 60:02}"


def state_words(
    record: Record, state: State, cause: int, root_station: int, root_cause: int
) -> str:
    """What a station does and why, from a row of its spans.

    ``cause`` and ``root_cause`` are places in the record's causes, ``root_station`` one in its
    stations; below 0 where there is no root.
    A wait names the station it is for, and that station's cause: "blocked by wrapper: wrapper
    jam". Where that station runs and is only too slow: "blocked by wrapper: its pace". One that
    works at its pace is "slowed by" it.
    """
    if root_station < 0:
        named = "" if state in WAITING else record.causes[cause]
        return f"{state.words}: {named}" if named else state.words
    why = record.causes[root_cause] if root_cause >= 0 else ""
    if state in OWN_STATES:
        # The sheeter as one: the part that stopped is its own, and nothing it waits for.
        return f"{state.words}: {why}"
    return wait_words(state, record.stations[root_station], why)


def is_pace(record: Record, root_cause: int) -> bool:
    """Whether a wait is for a pace or a ramp and not for a stop: nothing is wrong.

    ``root_cause`` is a place in the record's causes.
    """
    return record.cause_kinds[root_cause] == Kind.RATE


def ripple_words(record: Record, ripple: Ripple) -> str:
    """What a stop starved and blocked, after how long, for how long, and what it cost.

    The parts of the sheeter stand as one and count once. The cost is the time the sheeter stood,
    in reams at its rated speed; what of it the line makes good later, only a run without the
    stop can tell.
    """
    event = ripple.event
    since = clock_words(event.start_ns, record.scenario.calendar.start)
    stopped = (
        f"{capital(station_words(record.stations[event.station]))}, {record.causes[event.cause]}:"
        f" stood {duration_words(event.length_ns)} from {since}."
    )
    own_sheeter = record.stations[event.station] in WEB_STATIONS
    felt = _as_stations(record, ripple.reached, own_sheeter)
    if not felt:
        told = "No other station waited for it."
    else:
        told = f"It {listed(_one(name, each) for name, each in felt)}."
        if len(felt) > 1:
            together = sum(each.waited_ns for _, each in felt)
            told += f" Together they waited {duration_words(together)}."
    return f"{stopped} {told}{_cost(record, ripple, own_sheeter, felt)}"


def ripple_table(record: Record, ripple: Ripple, *, in_words: bool = False) -> AnswerTable:
    """The stop, then each station that it reached, in the order in which it did.

    Times are numbers with a unit, or ``in_words`` as people say them.

    Reams are what the station could have made in that time at its rated speed; none where it has
    none. They are no loss: what one station makes good later only a run without the stop tells.
    """
    event = ripple.event
    own_sheeter = record.stations[event.station] in WEB_STATIONS
    rated = {rate.station: rate.rated for rate in station_rates(record.scenario)}
    stopped = SHEETER if own_sheeter else record.stations[event.station]
    rows = [
        (station_words(record.stations[event.station]), "stood", stopped, 0, event.length_ns),
        *(
            (
                name,
                each.state.words,
                name if name == SHEETER else record.stations[each.station],
                each.after_ns,
                each.waited_ns,
            )
            for name, each in _as_stations(record, ripple.reached, own_sheeter)
        ),
    ]

    def reams(station: str, ns: int) -> float | str | None:
        rate = rated.get(station, math.inf)
        if not math.isfinite(rate):
            return None
        made = _reams(rate, ns)
        return f"{made:,}" if in_words else made

    def time(ns: int) -> float | str:
        if in_words:
            return duration_words(ns) if ns else "at once"
        return round(ns / SECOND, 1)

    unit = "" if in_words else "s"
    return AnswerTable.of(
        "ripple",
        "What the stop reached",
        rows,
        ("station", lambda row: row[0]),
        ("how", lambda row: row[1]),
        (Column("reached after", unit), lambda row: time(row[3])),
        (Column("for how long", unit), lambda row: time(row[4])),
        (Column("could make at rated speed", "reams"), lambda row: reams(row[2], row[4])),
    )


def _as_stations(
    record: Record, reached: Iterable[Reached], own_sheeter: bool
) -> list[tuple[str, Reached]]:
    """Stations reached, the sheeter's parts as one: its knives, else the part that waited most."""
    found: list[tuple[str, Reached]] = []
    sheeter: dict[State, Reached] = {}
    for each in reached:
        if record.stations[each.station] not in WEB_STATIONS:
            found.append((station_words(record.stations[each.station]), each))
        elif not own_sheeter:
            best = sheeter.get(each.state)
            at_knives = each.station == knives(record)
            if (
                best is None
                or at_knives
                or (best.station != knives(record) and each.waited_ns > best.waited_ns)
            ):
                sheeter[each.state] = each
    found += [(SHEETER, each) for each in sheeter.values()]
    return sorted(found, key=lambda pair: (pair[1].after_ns, pair[1].station))


def _one(name: str, each: Reached) -> str:
    after = "at once" if each.after_ns < SECOND // 2 else f"after {duration_words(each.after_ns)}"
    return f"{each.state.words} {with_article(name)} {after} for {duration_words(each.waited_ns)}"


def _cost(
    record: Record, ripple: Ripple, own_sheeter: bool, felt: list[tuple[str, Reached]]
) -> str:
    if own_sheeter:
        stood = ripple.event.length_ns
    else:
        stood = sum(each.waited_ns for name, each in felt if name == SHEETER)
    rated = next(r.rated for r in line_rates(record.scenario) if r.station == SHEETER)
    if not stood:
        return " The sheeter did not stand for it."
    return (
        f" The sheeter stood {duration_words(stood)} for it, in which it makes"
        f" {_reams(rated, stood):,} reams at its rated speed."
    )


def _reams(per_min: float, ns: int) -> float:
    """What is made in that time at this rate, to the ream, to a tenth below ten.

    >>> _reams(18.0, 14_533_000_000), _reams(18.0, 3_600_000_000_000)
    (4.4, 1080)
    """
    reams = per_min * ns / MINUTE
    return round(reams) if reams >= 9.95 else round(reams, 1)
