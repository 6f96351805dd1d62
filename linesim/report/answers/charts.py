"""What an answer can be drawn from: a curve with its band, bars, or a map of two fields."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Any, NamedTuple

from linesim.report.answers.cells import (
    Bounded,
    Column,
    Figure,
    Found,
    cell_of,
    cell_text,
    written_bounded,
)
from linesim.report.answers.dates import between_words, date_words
from linesim.statistics import rough

_WIDE = 20.0


class CurvePoint(NamedTuple):
    """A point of a curve; ``figure`` is None where nothing was run, ``theory`` where no formula."""

    x: float
    figure: Figure | None
    theory: float | None = None


@dataclass(frozen=True)
class Curve:
    """Simulated means with their half widths over ``x``, beside a closed form where there is one.

    ``name`` is what a file of it is called, ``present`` the value of ``x`` that the line has now,
    ``of`` what the points are. Where they are gains, paired differences, ``gain`` is what they are
    gains on, and ``pays`` are the stretches between points in which one is shown to be above what
    it costs. ``best`` is the x of the best point; ``pays_name`` and ``best_name`` are the words for
    both, which are drawn in.
    """

    name: str
    title: str
    x: Column
    y: Column
    points: tuple[CurvePoint, ...]
    present: float | None = None
    theory_name: str = ""
    of: str = "simulated"
    gain: str = ""
    pays: tuple[tuple[float, float], ...] = ()
    best: float | None = None
    pays_name: str = "pays"
    best_name: str = "best"

    @property
    def best_shown(self) -> bool:
        """Whether more is known of the best than an interval that spans 0; 0 itself is known."""
        figures = [point.figure for point in self.points if point.x == self.best]
        return all(each is None or each.shown or not each.half_width for each in figures)


class Bar(NamedTuple):
    """One bar; ``theory`` is a closed form beside it, ``told`` more of it, where there is such."""

    label: str
    figure: Figure | None
    theory: float | None = None
    told: str = ""


@dataclass(frozen=True)
class Bars:
    """Simulated figures side by side, in the order given.

    With ``bands`` each figure is where single values fall, from one end to the other, and its
    middle means nothing; ``theory`` is then a value that fell there or did not. ``plain`` ones are
    lengths without intervals. Values of ``y`` are hours after ``starts`` where that is given, and
    said as dates. A bar without a figure says ``empty``.
    """

    name: str
    title: str
    what: Column
    y: Column
    bars: tuple[Bar, ...]
    theory_name: str = ""
    bands: bool = False
    plain: bool = False
    starts: dt.datetime | None = None
    empty: str = "not run"

    def when(self, hours: float) -> dt.datetime:
        """The moment of a value. Raises ``ValueError`` where values are no dates."""
        if self.starts is None:
            raise ValueError("values of these bars are no dates")
        return self.starts + dt.timedelta(hours=hours)


@dataclass(frozen=True)
class Map:
    """A figure over two fields: ``rows[i][j]`` at ``down_values[i]`` and ``across_values[j]``.

    ``present`` are the values of both that the line has now, each in the unit of its column;
    ``best`` is marked, too. A cell without a figure says ``empty``.
    """

    name: str
    title: str
    down: Column
    across: Column
    y: Column
    down_values: tuple[float, ...]
    across_values: tuple[float, ...]
    rows: tuple[tuple[Figure | None, ...], ...]
    present: tuple[float | None, float | None] = (None, None)
    best: tuple[float, float] | None = None
    empty: str = "cannot be run"

    def marks(self, values: tuple[float, float]) -> str:
        """What a cell is called: now, best, or both; nothing for any other."""
        named = (("now", self.present), ("best", self.best))
        return ", ".join(name for name, where in named if where == values)


class TornadoBar(NamedTuple):
    """What one input alone does to a figure: the figure at its two ends.

    ``ends`` are those of the input in words; those ``assumed`` nobody has looked into.
    """

    label: str
    ends: str
    at_low: float
    at_high: float
    assumed: bool = False


@dataclass(frozen=True)
class Tornado:
    """A figure against each input it is made of, one at a time, the widest first.

    Drawn: a level bar for each, from the figure at one end of the input to that at the other, with
    the ends in words beside its tips and those assumed hatched; an upright line at ``now``, where
    the figure stands, and one at nothing where that is among the bars.
    """

    name: str
    title: str
    y: Column
    now: float
    bars: tuple[TornadoBar, ...]


class Tick(NamedTuple):
    """A mark on an axis: where it stands, and what is written there."""

    at: float
    text: str


@dataclass(frozen=True)
class Scatter:
    """Single values, ``points`` (x, y), beside what they are held against.

    All places are as drawn: an axis that is not even has ``x_ticks`` or ``y_ticks`` that say what
    stands where; without them round numbers do. ``cut_off`` are values known to be larger than
    where they stand. ``line`` is a law or a mean with its ``band`` of places (x, y) round it;
    ``thin`` another line. ``caption`` is what the picture shows, in a sentence. ``values`` are
    those of ``points`` and then of ``cut_off`` in the units of x and y, where an axis is not even.
    ``line_at`` is what x is at each place of the line, where it is the line that is read.
    ``heights`` are values of y that the picture reaches, whatever is drawn.
    """

    name: str
    title: str
    x: Column
    y: Column
    points: tuple[tuple[float, float], ...]
    caption: str
    points_name: str
    cut_off: tuple[tuple[float, float], ...] = ()
    cut_off_name: str = ""
    line: tuple[tuple[float, float], ...] = ()
    line_name: str = ""
    band: tuple[tuple[float, float], ...] = ()
    band_name: str = ""
    thin: tuple[tuple[float, float], ...] = ()
    thin_name: str = ""
    x_ticks: tuple[Tick, ...] = ()
    y_ticks: tuple[Tick, ...] = ()
    values: tuple[tuple[float, float], ...] = ()
    line_at: tuple[str, ...] = ()
    heights: tuple[float, ...] = ()

    @property
    def along(self) -> tuple[tuple[str, float, float, float], ...]:
        """The line place by place, where it is read: what x is, y, and both ends of the band."""
        if not self.line_at:
            return ()
        heights = [y for _, y in self.band]
        count = len(self.line)
        ends = zip(heights[:count], heights[: count - 1 : -1], strict=True)
        return tuple(
            (at, y, low, high)
            for at, (_, y), (low, high) in zip(self.line_at, self.line, ends, strict=True)
        )

    @property
    def known(self) -> tuple[tuple[float, float, str], ...]:
        """Each value, first points and then those cut off: x and y in their units, and words."""
        kinds = [self.points_name] * len(self.points) + [self.cut_off_name] * len(self.cut_off)
        values = self.values or (*self.points, *self.cut_off)
        return tuple((x, y, words) for (x, y), words in zip(values, kinds, strict=True))

    @property
    def ends(self) -> tuple[float, float, float, float]:
        """Least and most x, least and most y of everything drawn."""
        places = [*self.points, *self.cut_off, *self.line, *self.band, *self.thin]
        xs = [x for x, _ in places] + [tick.at for tick in self.x_ticks]
        ys = [y for _, y in places] + [tick.at for tick in self.y_ticks]
        ys += self.heights
        return min(xs), max(xs), min(ys), max(ys)

    @property
    def key(self) -> tuple[tuple[str, str], ...]:
        """What each kind of mark is, in order: kind and words."""
        kinds = (
            ("points", self.points, self.points_name),
            ("cut_off", self.cut_off, self.cut_off_name),
            ("line", self.line, self.line_name),
            ("band", self.band, self.band_name),
            ("thin", self.thin, self.thin_name),
        )
        return tuple((kind, words) for kind, places, words in kinds if places)


def bar_text(chart: Bars, bar: Bar) -> str:
    """What stands beside a bar: its figure, or of a band both ends and what is held against it.

    >>> bands = Bars("days", "", Column("day"), Column("reams"), (), "counted", bands=True)
    >>> bar_text(bands, Bar("1 March", Figure(29_300.0, 2_310.0), 29_464.0))
    '27,000–31,600, counted 29,464'
    >>> bar_text(bands, Bar("2 March", Figure(29_300.0, 2_310.0), 24_300.0))
    '27,000–31,600, counted 24,300: below'
    """
    if bar.figure is None:
        return chart.empty
    if not chart.bands:
        return cell_text(bar.figure)
    if chart.starts is not None:
        ends = between_words(*(chart.when(end) for end in bar.figure.outer))
        due = "" if bar.theory is None else date_words(chart.when(bar.theory))
        return f"{ends}, {chart.theory_name} {due}" if due else ends
    both = written_bounded(Bounded(bar.figure.mean, *bar.figure.outer))
    ends = both.partition("(")[2].rstrip(")")
    if bar.theory is None:
        return ends
    where = f": {outside}" if (outside := outside_band(chart, bar)) else ""
    return f"{ends}, {chart.theory_name} {rough(bar.theory)}{where}"


def outside_band(chart: Bars, bar: Bar) -> str:
    """On which side of its band a value lies that should be in it; else empty."""
    if not chart.bands or chart.starts is not None or bar.figure is None or bar.theory is None:
        return ""
    low, high = bar.figure.outer
    return "below" if bar.theory < low else "above" if bar.theory > high else ""


def _figure(found: Found, y: Column) -> Figure | None:
    cell = cell_of(found, y.unit)
    assert cell is None or isinstance(cell, Figure)
    return cell


def bars(name: str, title: str, what: str, y: Column, rows: Iterable[tuple[str, Found]]) -> Bars:
    """A bar for each label and what was found of it, the largest first; last what was not run."""
    drawn = [Bar(label, _figure(found, y)) for label, found in rows]
    drawn.sort(key=lambda bar: math.inf if bar.figure is None else -bar.figure.mean)
    return Bars(name, title, Column(what), y, tuple(drawn))


def curve(
    name: str,
    title: str,
    x: Column,
    y: Column,
    rows: Iterable[tuple[float, Found]],
    present: float | None = None,
    *,
    theory: Mapping[float, float | None] | None = None,
    theory_name: str = "",
    **more: Any,
) -> Curve:
    """A curve through each x and what was found there; ``theory`` is the closed form by x.

    ``more`` are fields of :class:`Curve`.
    """
    closed = theory or {}
    drawn = tuple(CurvePoint(at, _figure(found, y), closed.get(at)) for at, found in rows)
    return Curve(name, title, x, y, drawn, present, theory_name, **more)


def spans_much(values: Iterable[float]) -> bool:
    """Whether an axis of these values is logarithmic: the largest is twenty times the smallest.

    >>> spans_much([5, 60, 100]), spans_much([5, 60]), spans_much([0, 600])
    (True, False, False)
    """
    found = sorted(values)
    return found[0] > 0 and found[-1] / found[0] >= _WIDE


def stretches(points: Iterable[tuple[float, bool]]) -> tuple[tuple[float, float], ...]:
    """The ends of each stretch of points, in order, of which something is true.

    >>> stretches([(10, True), (20, True), (30, False), (40, True)])
    ((10, 20), (40, 40))
    """
    runs = groupby(points, lambda point: point[1])
    found = ([x for x, _ in run] for true, run in runs if true)
    return tuple((xs[0], xs[-1]) for xs in found)


NOW = "as it is now"
"""What a gain is counted from, but where a chart says otherwise."""
PAIRED = "paired difference, same random numbers"

Chart = Curve | Bars | Map | Scatter | Tornado
