"""A plant's stop log, cleaned: what can be used, and each row that cannot, with its reason."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import PurePath

from linesim.plant.counter_rows import CounterUsed, read_counter_rows
from linesim.plant.lifetimes import Rounding
from linesim.plant.log_columns import find_columns, plain
from linesim.plant.log_rows import NO_TIME, ReadRow, read_rows
from linesim.plant.log_settings import LogSettings, PlantTerms
from linesim.plant.raw_table import RawTable, refused

NOT_ASKED_FOR = "outside the time asked for"
_TELLS_NOTHING = ("no start", "no counter reading", "the same stop as")
"""How reasons begin for which a row tells of no stop, or of none that another does not tell."""
_FAR_DAYS = 60
_FEW_FAR = 3
_NAMED = 3
"""So many logs are named."""
_STEPS = ((15.0, 20), (10.0, 20), (5.0, 20), (1.0, 3))
"""To what lengths are rounded, min, and how many must be so before it is believed."""
_WHOLE_SHARE = 0.95


@dataclass(frozen=True)
class CleanStop:
    """One stop; station and cause as the plant wrote them. ``line`` is that of the file."""

    line: int
    start: dt.datetime
    end: dt.datetime
    station: str
    cause: str
    reading: float | None = None
    """What a running counter showed at its start, where one tells the time."""
    file: str = ""
    """The log it is from, where there are several."""

    @property
    def minutes(self) -> float:
        return (self.end - self.start).total_seconds() / 60


@dataclass(frozen=True)
class LeftOut:
    """A row that is not used, and why."""

    line: int
    reason: str
    shown: str
    """The row as it stands, shortened."""
    file: str = ""
    """The log it is from, where there are several."""
    may_be_stop: bool = False
    """Whether it may tell of a stop that no other row tells of, if not all of it."""


@dataclass(frozen=True)
class StopLog:
    """``rows`` in the file = stops used + rows left out. ``stops`` are in order of time."""

    file: str
    read_as: str
    columns: dict[str, str]
    """Heading by field."""
    rows: int
    stops: tuple[CleanStop, ...]
    left_out: tuple[LeftOut, ...]
    amended: tuple[LeftOut, ...]
    """Rows used, but not as they stand: an overlap cut off, a clock that was changed."""
    notes: tuple[str, ...]
    counter: CounterUsed | None = None
    """The running counter that tells the time, where no clock does."""
    terms: PlantTerms = field(default_factory=PlantTerms)
    """What is known of the plant's words beside the log."""
    rounding: Rounding | None = None
    """How lengths were rounded, min; None where they are finer than whole minutes."""
    parts: tuple[StopLog, ...] = ()
    """The logs that it was joined from, in order of time; none where it is one."""

    @property
    def name(self) -> str:
        """The name of its file, or of its files, without their folders."""
        names = self.files
        if len(names) > _NAMED:
            return f"{names[0]} and {len(names) - 1} more"
        return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))

    @property
    def files(self) -> list[str]:
        """The names of its files, without their folders."""
        return [PurePath(part.file).name for part in self.parts or (self,)]

    @property
    def start_step(self) -> float | None:
        """To what the moments at which stops began were rounded, min; None where finer."""
        if self.counter is not None:
            return None
        return _step([stop.start.minute * 60.0 + stop.start.second for stop in self.stops])

    @property
    def dated(self) -> bool:
        return self.counter is None or self.counter.dated

    def __post_init__(self) -> None:
        if self.rows != len(self.stops) + len(self.left_out):
            raise AssertionError(
                f"{self.rows} rows, but {len(self.stops)} used and {len(self.left_out)} left out"
            )

    def without(self, reasons: Mapping[CleanStop, str]) -> StopLog:
        """The log with these stops left out, each with its reason; so in its parts."""
        out = [stop for stop in self.stops if stop in reasons]
        more = tuple(LeftOut(s.line, reasons[s], _shown(s), s.file) for s in out)
        left = tuple(sorted((*self.left_out, *more), key=lambda each: (each.file, each.line)))
        stops = tuple(stop for stop in self.stops if stop not in reasons)
        parts = tuple(part.without(reasons) for part in self.parts)
        return replace(self, stops=stops, left_out=left, parts=parts)


def clean_log(
    table: RawTable,
    settings: LogSettings,
    *,
    since: dt.datetime | None = None,
    until: dt.datetime | None = None,
) -> StopLog:
    """The log in a table that was read.

    A stop that starts before *since* or not before *until* is left out. Raises
    :class:`ScenarioFaults` where there is no log to read, or where dates are asked of a counter
    that has none.
    """
    found = find_columns(table, settings.columns)
    stops: list[CleanStop] = []
    left: list[LeftOut] = []
    amended: list[LeftOut] = []
    counter = None
    if "counter" in found.place:
        rows, notes, counter = read_counter_rows(table, found, settings)
        if (since or until) and not counter.dated:
            problem = "dates are asked for, but a counter has none"
            right = "no dates, or the moment at which the log of the counter begins"
            raise refused(table.file, problem, right, field="counter")
    else:
        rows, notes = read_rows(table, found, settings)
    rounding = _rounding(rows, by_ends="minutes" not in found.place)
    if rounding is not None:
        notes = [*notes, _rounded_words(rounding)]
    for row in rows:
        if row.problem and not (row.problem == NO_TIME and rounding is not None):
            told = _may_be_stop(row.problem)
            left.append(LeftOut(row.line, row.problem, row.shown, may_be_stop=told))
            continue
        assert row.start is not None
        assert row.end is not None
        stop = CleanStop(row.line, row.start, row.end, row.station, row.cause, row.reading)
        if (since and stop.start < since) or (until and stop.start >= until):
            left.append(LeftOut(row.line, NOT_ASKED_FOR, row.shown))
            continue
        if row.amended:
            amended.append(LeftOut(row.line, row.amended, row.shown))
        stops.append(stop)
    if not rows:
        raise refused(table.file, "has headings but no rows", "a row for each stop")
    stops.sort(key=lambda stop: (stop.start, stop.end, stop.line))
    stops = _without_far(stops, left)
    stops = _without_overlaps(stops, left, amended)
    return StopLog(
        file=table.file,
        read_as=table.read_as,
        columns=found.heading,
        rows=len(rows),
        stops=tuple(stops),
        left_out=tuple(sorted(left, key=lambda each: each.line)),
        amended=tuple(sorted(amended, key=lambda each: each.line)),
        notes=tuple(notes),
        counter=counter,
        terms=settings.terms,
        rounding=rounding,
    )


def _rounding(rows: Sequence[ReadRow], *, by_ends: bool) -> Rounding | None:
    """How the lengths of a log were rounded, min; None where they are finer than whole minutes."""
    known = [row for row in rows if row.problem in ("", NO_TIME)]
    lengths = [(row.end - row.start).total_seconds() for row in known if row.end and row.start]
    step = _step(lengths)
    return None if step is None else Rounding(step, by_ends)


def _step(seconds: Sequence[float]) -> float | None:
    """The step, min, to which so many times were rounded; None where finer than a minute.

    That so many that have seconds of their own are whole by chance does not happen.
    """
    for step, fewest in _STEPS:
        whole = sum(each % (60 * step) == 0 for each in seconds)
        apart = step == 1 or len(set(seconds)) > 2
        if apart and whole >= max(fewest, _WHOLE_SHARE * len(seconds)):
            return step
    return None


def _rounded_words(rounding: Rounding) -> str:
    step = f"{rounding.step:g} min" if rounding.step > 1 else "a minute"
    if rounding.by_ends:
        how = f"Start and end are to the minute, so a length may be {step} more or less"
        if rounding.step > 1:
            how = f"Lengths are whole steps of {step}"
    else:
        half = f"{rounding.step / 2:g} min"
        how = f"Lengths are rounded to {step}, so one may be {half} more or less"
    return f"{how}: times to restore are fitted so, and one of 0 min is a short stop."


def _without_far(stops: list[CleanStop], left: list[LeftOut]) -> list[CleanStop]:
    """Leave out the few stops months away from all others: a year or month mistyped."""
    gap = dt.timedelta(days=_FAR_DAYS)
    groups: list[list[CleanStop]] = []
    for stop in stops:
        if groups and stop.start - groups[-1][-1].start <= gap:
            groups[-1].append(stop)
        else:
            groups.append([stop])
    most = max((len(group) for group in groups), default=0)
    kept = []
    for group in groups:
        if len(group) <= _FEW_FAR and len(group) * 10 <= most:
            what = "date" if group[0].reading is None else "counter"
            reason = f"its {what} is more than {_FAR_DAYS} days from all others"
            left.extend(LeftOut(stop.line, reason, _shown(stop)) for stop in group)
        else:
            kept.extend(group)
    return kept


def _may_be_stop(problem: str) -> bool:
    """Whether a row with this problem may tell of a stop that no other row tells of."""
    if problem.startswith(("date cannot be read", "start cannot be read")):
        return any(map(str.isdigit, problem))  # A title or a sum has no time.
    return not problem.startswith(_TELLS_NOTHING)


def _without_overlaps(
    stops: list[CleanStop], left: list[LeftOut], amended: list[LeftOut]
) -> list[CleanStop]:
    """One station stands once at a time: what is counted twice is left out or cut off.

    Stops come in order of start. Where two begin together the longer one is the outer.
    """
    last: dict[str, CleanStop] = {}
    seen: dict[tuple[dt.datetime, dt.datetime, str, str], int] = {}
    kept: list[CleanStop] = []
    for stop in sorted(stops, key=lambda s: (s.start, -s.minutes, s.line)):
        station = plain(stop.station)
        same = (stop.start, stop.end, station, plain(stop.cause))
        before = last.get(station)
        if same in seen:
            left.append(LeftOut(stop.line, f"the same stop as line {seen[same]}", _shown(stop)))
            continue
        seen[same] = stop.line
        if before is not None and stop.start < before.end and stop.end <= before.end:
            reason = f"within the stop of line {before.line} at the same station"
            left.append(LeftOut(stop.line, reason, _shown(stop)))
            continue
        if before is not None and stop.start < before.end:
            cut = (before.end - stop.start).total_seconds() / 60
            reason = f"{cut:.3g} min cut off its start, where line {before.line} still stood"
            amended.append(LeftOut(stop.line, reason, _shown(stop)))
            stop = replace(stop, start=before.end)
        last[station] = stop
        kept.append(stop)
    return sorted(kept, key=lambda stop: (stop.start, stop.end, stop.line))


def _shown(stop: CleanStop) -> str:
    where = f" {stop.station}:" if stop.station else ""
    when = f"{stop.start:%Y-%m-%d %H:%M}"
    if stop.reading is not None:
        when = f"counter {stop.reading:.6g}"
    return f"{when}, {stop.minutes:.3g} min,{where} {stop.cause}"[:70]
