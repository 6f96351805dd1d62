"""A stop log in words and tables: its rows, and its fits at a glance."""

from __future__ import annotations

import itertools
import math
import re
from collections import Counter
from collections.abc import Callable, Sequence
from pathlib import PurePath

from linesim.plant.fitting import CauseFit, FittedLaw, with_trend
from linesim.plant.row_reasons import would_be_right
from linesim.plant.stop_log import NOT_ASKED_FOR, LeftOut, StopLog
from linesim.report.answers.cells import Column, with_commas
from linesim.report.answers.tables import AnswerTable
from linesim.statistics import counted, rounded

_ROW_SHOWN = 70
_MOSTLY_OUT = " Most rows were left out: what remains does not represent the plant. See why first."
_LINE = re.compile(r" line \d+.*")
_NAMED = 4
"""So many reasons are named in words; the table has them all."""


def log_words(log: StopLog) -> list[str]:
    """Rows in = stops used + rows left out, and how the file was read."""
    return [
        f"{log.name}: {counted(log.rows, 'row')} ="
        f" {counted(len(log.stops), 'stop')} used + {len(log.left_out):,} left"
        f" out{_most(log.left_out)}."
        + (f" Of those used {_amended(len(log.amended))}." if log.amended else "")
        + (_MOSTLY_OUT if _mostly_out(log) else ""),
        " ".join(_read_as(part, named=bool(log.parts)) for part in log.parts or (log,)),
    ]


def _amended(rows: int) -> str:
    return f"{rows:,} {'was' if rows == 1 else 'were'} amended"


def _read_as(log: StopLog, *, named: bool) -> str:
    columns = ", ".join(f"{field} = {heading!r}" for field, heading in log.columns.items())
    begin = f"{log.name} read" if named else "Read"
    return f"{begin} as {log.read_as}; columns: {columns}."


def _mostly_out(log: StopLog) -> bool:
    """Whether more rows were left out than used, those aside that nobody asked for."""
    out = sum(each.reason != NOT_ASKED_FOR for each in log.left_out)
    return out > len(log.stops)


def row_tables(log: StopLog) -> tuple[AnswerTable, ...]:
    """Rows left out and rows amended, each with its reason; no table where there is none."""
    tables = []
    if log.left_out:
        right = (Column("right would be", left=True), _right)
        tables.append(_rows("left-out", "Rows left out, and why", log.left_out, right))
    if log.amended:
        tables.append(_rows("amended", "Rows used, but not as they stand", log.amended))
    return tuple(tables)


def fit_overview(fits: Sequence[CauseFit]) -> AnswerTable:
    """A row for each fit, in their order: how often, how long, each with its interval."""
    changing = with_trend(fits)
    return AnswerTable.of(
        "fits",
        "Each cause: how often and for how long, with 95 % intervals",
        fits,
        ("cause", lambda fit: fit.matched.cause),
        ("stops", lambda fit: fit.count),
        (
            Column("mean interval", left=True),
            lambda fit: f"{_in_one(fit.interval)} {fit.meter.unit}{' each web' * (fit.webs > 1)}",
        ),
        (Column("mean time to restore", "min", left=True), lambda fit: _in_one(fit.restore_min)),
        (Column("trend", left=True, rank=1), lambda fit: trend_cell(fit, changing)),
    )


def trend_cell(fit: CauseFit, shown: Sequence[CauseFit]) -> str:
    """A trend in a word; *shown* are those of which one is shown."""
    if fit.trend is None:
        return "too few"
    if fit not in shown:
        return "none shown"
    return "worse" if fit.trend.u > 0 else "better"


def mean_cells(
    fitted: FittedLaw, parameter: str = "mean", *, each: float = 1.0
) -> tuple[str, str, str]:
    """Mean (or another parameter) and the ends of its interval, as fine as the interval bears.

    In multiples of ``each`` of the unit that the law has.

    Ends of a rate from few stops lie far apart in size, so each has its own digits: two, or three
    where the ends are near each other.
    """
    low, high = fitted.intervals.get(parameter, (math.nan, math.nan))
    digits = 3 if high < 1.3 * low else 2
    value = fitted.fit.parameters[parameter]
    return (
        in_digits(value / each, digits),
        in_digits(low / each, digits),
        in_digits(high / each, digits),
    )


def large_unit(unit: str) -> tuple[int, str]:
    """How many of a unit are one in a table, and what that is called.

    Knives last for millions of cuts: by the thousand a row stays one line.
    """
    return (1000, "1000 cuts") if unit == "cuts" else (1, unit)


def in_digits(value: float, digits: int) -> str:
    """A figure with so many digits that count; ? where it is none."""
    if not math.isfinite(value):
        return "?"
    return rounded(value, math.floor(math.log10(value)) + 1 - digits).replace(",", "")


def _in_one(fitted: FittedLaw) -> str:
    mean, low, high = (with_commas(text) for text in mean_cells(fitted))
    return f"{mean} ({low}–{high})"


def _most(left_out: Sequence[LeftOut]) -> str:
    """The commonest reasons, and how many rows had another: the numbers add up."""
    reasons = Counter(_LINE.sub(" another line", each.reason.split(":")[0]) for each in left_out)
    if not reasons:
        return ""
    named = reasons.most_common(_NAMED)
    said = [f"{n} {why}" for why, n in named]
    others = len(left_out) - sum(n for _, n in named)
    if others:
        said.append(f"{others} for other reasons")
    return f" ({', '.join(said)})"


def _rows(
    name: str,
    title: str,
    rows: Sequence[LeftOut],
    *more: tuple[Column, Callable[[list[LeftOut]], str]],
) -> AnswerTable:
    """A row for each row of the log, and one for each stretch of rows that nobody asked for."""

    def why(group: list[LeftOut]) -> str:
        reason = group[0].reason
        return f"{reason}: {len(group)} rows" if len(group) > 1 else reason

    def shown(group: list[LeftOut]) -> str:
        text = group[0].shown
        return f"{text[: _ROW_SHOWN - 2]} …" if len(group) > 1 else text[:_ROW_SHOWN]

    return AnswerTable.of(
        name,
        title,
        [list(group) for _, group in itertools.groupby(rows, key=_Stretch())],
        *([(Column("log", left=True), _log)] if any(row.file for row in rows) else []),
        (
            Column("line", names=True),
            lambda g: f"{g[0].line} to {g[-1].line}" if len(g) > 1 else g[0].line,
        ),
        (Column("why", left=True), why),
        *more,
        (Column("row", left=True), shown),
    )


def _right(group: list[LeftOut]) -> str:
    return would_be_right(group[0].reason)


def _log(group: list[LeftOut]) -> str:
    return PurePath(group[0].file).name


class _Stretch:
    """Tells stretches of rows that nobody asked for from each other, and every other row."""

    def __init__(self) -> None:
        self._last, self._number, self._file = -1, 0, ""

    def __call__(self, row: LeftOut) -> int:
        goes_on = row.reason == NOT_ASKED_FOR and row.line == self._last + 1
        self._number += not (goes_on and row.file == self._file)
        self._file = row.file
        self._last = row.line if row.reason == NOT_ASKED_FOR else -1
        return self._number
