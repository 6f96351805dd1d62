"""What stands in a cell of an answer: text, a number, or a figure with its interval."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import NamedTuple

from linesim.report.answers.dates import date_words
from linesim.statistics import (
    Bounds,
    Interval,
    PairedInterval,
    Proportion,
    Quantile,
    format_with_interval,
    last_digit,
    rough,
    rounded,
)


class Figure(NamedTuple):
    """A simulated figure and its half width of luck, and that of what is not known (``doubt``).

    ``shown`` is False for a difference not shown.
    """

    mean: float
    half_width: float
    shown: bool = True
    doubt: float = 0.0
    least: float = -math.inf
    """What it cannot be below."""

    @property
    def inner(self) -> tuple[float, float]:
        """The ends of what luck alone leaves open."""
        return max(self.least, self.mean - self.half_width), self.mean + self.half_width

    @property
    def unsure(self) -> bool:
        """Whether it is a difference that is not shown; none in any run is known to be none."""
        return not self.shown and bool(self.mean or self.half_width or self.doubt)

    @property
    def outer(self) -> tuple[float, float]:
        """The ends with both parts in them."""
        both = math.hypot(self.half_width, self.doubt)
        return max(self.least, self.mean - both), self.mean + both


def figure_of(interval: Interval, *, shown: bool = True) -> Figure:
    """An interval as a figure."""
    return Figure(interval.mean, interval.half_width, shown, interval.doubt, interval.least)


class Bounded(NamedTuple):
    """A figure whose interval has ends of its own; None for what so few runs cannot tell."""

    value: float | None
    low: float | None
    high: float | None


class Known(Bounded):
    """The same of a figure that is itself known, set or counted: only its ends are rounded.

    >>> cell_text(Known(58_500, 46_800, 70_200)), cell_text(Known(25, 0.63, 80.6))
    ('58,500 (47,000–70,000)', '25 (0–80)')
    """


Cell = str | int | float | Figure | Bounded | None
Found = Cell | Interval | PairedInterval | Bounds | Quantile
"""What a study found, before it stands in a cell."""


def cell_of(found: Found, unit: str = "") -> Cell:
    """What was found as a cell; an estimate is a fraction where the unit is %."""
    scale = 100.0 if unit == "%" else 1.0
    if isinstance(found, Interval):
        return figure_of(found.times(scale))
    if isinstance(found, PairedInterval):
        return figure_of(found.interval.times(scale), shown=found.shown)
    if isinstance(found, Bounds | Quantile):
        ends = (found.value, found.low, found.high)
        kind = Known if isinstance(found, Proportion) else Bounded
        return kind(*(None if end is None else end * scale for end in ends))
    return found


@dataclass(frozen=True)
class Column:
    """A column: its name, and its unit where it has one."""

    name: str
    unit: str = ""
    left: bool = False
    bar: bool = False
    """Whether a bar stands beside each figure where tables are text; the longest for 100 %."""
    rank: int = 0
    """Where a terminal is narrow, columns with a rank are left out, those of the highest first."""
    starts: dt.datetime | None = None
    """Its figures are hours after this: dates for people, hours in files."""
    digits: int = 3
    """How many are known of a figure that has no interval."""
    names: bool = False
    """Its whole numbers are names, such as of the lines of a file: no thousands are set apart."""
    figures: bool = False
    """Its texts are figures: people read them with their thousands set apart, files as they are."""
    said: str = ""
    """What people call it, where files have another name for it."""

    @property
    def label(self) -> str:
        """What people call it."""
        return self.said or self.name

    @property
    def shown_unit(self) -> str:
        """The unit of what people read."""
        return "" if self.starts else self.unit

    @property
    def heading(self) -> str:
        """Name and unit."""
        return f"{self.label}, {self.shown_unit}" if self.shown_unit else self.label

    def text(self, cell: Cell) -> str:
        """A cell of it for people.

        >>> monday = Column("due", "h", starts=dt.datetime(2026, 3, 2, 6))
        >>> monday.text(12.0), monday.text(Bounded(9.7, 9.3, None))
        ('Mon 2 Mar 18:00', 'Mon 2 Mar 15:42 (15:18 or later)')
        >>> Column("± then", digits=2).text(0.49), Column("line", names=True).text(1240)
        ('0.49', '1240')
        """
        if isinstance(cell, int) and self.names:
            return str(cell)
        if isinstance(cell, str) and self.figures:
            return with_commas(cell)
        if self.starts is None or isinstance(cell, str | Figure | None):
            return rough(cell, self.digits) if isinstance(cell, float) else cell_text(cell)
        if isinstance(cell, Bounded):
            return _dated(self.starts, cell)
        return date_words(self.starts + dt.timedelta(hours=cell))


def _dated(starts: dt.datetime, cell: Bounded) -> str:
    """Ends on the day of the figure itself are times."""
    if cell.value is None and cell.low is None:
        return written_bounded(cell)
    value, low, high = (
        None if each is None else starts + dt.timedelta(hours=each) for each in cell
    )

    def end(at: dt.datetime) -> str:
        same = value is not None and at.date() == value.date()
        return f"{at:%H:%M}" if same else date_words(at)

    ends = [None if at is None else end(at) for at in (low, high)]
    return _with_ends([None if value is None else date_words(value), *ends], "later")


def _with_ends(texts: Iterable[str | None], above: str, between: str = "–") -> str:
    """A figure and the ends of its interval in words, whichever of them so few runs can tell."""
    value, low, high = texts
    if low is None and high is None:
        ends = "too few runs for an interval"
    elif high is None:
        ends = f"{low} or {above}"
    elif low is None:
        ends = f"up to {high}"
    else:
        ends = f"{low}{between}{high}"
    return f"beyond the runs ({ends})" if value is None else f"{value} ({ends})"


def written(cell: Figure) -> str:
    """A figure with no more digits than its half width bears.

    >>> written(Figure(1831.7, 14.2))
    '1,832 ± 14'
    >>> written(Figure(1.428571, 0)), written(Figure(42, 0))
    ('1.43', '42')
    """
    return format_with_interval(cell.mean, cell.half_width, cell.doubt, cell.least)


def value_written(cell: Cell) -> float:
    """The number that a reader takes from a cell, as it is rounded there.

    >>> value_written(Figure(1831.7, 14.2)), value_written(Figure(-57_312, 4_000))
    (1832.0, -57000.0)
    """
    text = cell_text(cell).removeprefix("~ ").partition(" ±")[0].partition(" (")[0]
    return float(text.replace(",", "").replace("−", "-"))


def written_bounded(cell: Bounded) -> str:
    """A figure and the ends of its interval, as fine as the interval bears.

    >>> written_bounded(Bounded(31.234, 30.51, 32.96))
    '31.2 (30.5–33.0)'
    >>> written_bounded(Bounded(9.8765, 9.21, None))
    '9.9 (9.2 or more)'
    >>> written_bounded(Bounded(5432.5, None, None))
    '5,433 (too few runs for an interval)'
    >>> written_bounded(Bounded(-23, -27, -19))
    '−23 (−27 to −19)'
    """
    if cell.value is None and cell.low is None:
        return "not within the runs"
    known = [each for each in cell if each is not None]
    # Half of an interval is as wide as the half that is known.
    width = (max(known) - min(known)) * (1 if None not in cell else 2)
    # Where nothing differs, or nothing is known of it, a tenth is as fine as can be said, and three
    # digits are enough.
    last = last_digit(width / 2) if width else (0 if abs(known[0]) >= 100 else -1)
    if all(each == round(each) for each in known):
        last = max(0, last)
    digits = (min(last, 0) if isinstance(cell, Known) else last, last, last)
    texts = (
        None if each is None else rounded(each, digit)
        for each, digit in zip(cell, digits, strict=True)
    )
    return _with_ends(texts, "more", " to " if min(known) < 0 else "–")


def with_commas(text: str) -> str:
    """A written figure with its thousands set apart.

    >>> with_commas("1200"), with_commas("1200.5"), with_commas("?")
    ('1,200', '1,200.5', '?')
    """
    whole, point, rest = text.partition(".")
    return f"{int(whole):,}{point}{rest}" if whole.isdigit() else text


def set_value(value: float) -> str:
    """A value that was set, not found: with the digits that it has, six at most.

    >>> set_value(20_000_000), set_value(40 / 3), set_value(1200)
    ('20,000,000', '13.3333', '1,200')
    """
    return f"{float(f'{value:.6g}'):,.10g}"


def p_text(p: float) -> str:
    """How likely it would be by chance, as it stands in a sentence."""
    return "p below 0.001" if p < 0.001 else f"p = {p:.2g}"


def p_cell(p: float) -> str:
    """The same in a column of such figures, which has little room.

    >>> p_cell(5e-28), p_cell(0.0185)
    ('<0.001', '0.018')
    """
    return "<0.001" if p < 0.001 else f"{p:.2g}"


def cell_text(cell: Cell) -> str:
    """A cell for people; "~" before a difference that is not shown.

    >>> cell_text(Figure(3.0, 5.0, shown=False)), cell_text(Figure(0.0, 0.0, shown=False))
    ('~ 3 ± 5', '0')
    """
    if cell is None:
        return "-"
    if isinstance(cell, Figure):
        return f"~ {written(cell)}" if cell.unsure else written(cell)
    if isinstance(cell, Bounded):
        return written_bounded(cell)
    if isinstance(cell, str):
        return cell
    text = f"{cell:,}" if isinstance(cell, int) else rough(cell)
    return f"−{text[1:]}" if text.startswith("-") else text
