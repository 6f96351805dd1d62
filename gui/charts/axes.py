"""Axes of charts: round numbers, or names, for whatever stretch is shown."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from html import escape
from typing import Any

import pyqtgraph as pg
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPen

from gui.charts.pens import pen
from gui.charts.scales import Scale, tick_text
from gui.look import Palette
from linesim.report import date_ticks

_SPACE = 10.0
_AROUND = 6.0
_LEFT, _RIGHT = 60.0, 30.0
"""How far words of an axis below may stand beyond it."""
_MOST = 12
"""More lines across a plot are a grid that hides what is plotted."""


class RoundAxis(pg.AxisItem):  # type: ignore[misc]
    """Round numbers of ``values``, which says where on the plot each value stands."""

    def __init__(self, side: str, values: Scale | None = None) -> None:
        super().__init__(side)
        self.values = values or Scale(0, 1, 0, 1)
        self._upright = side in ("left", "right")
        self.wide: float | None = None
        """How wide it is, whatever it says, where it stands in line with others."""
        self._ticks: dict[float, float] = {}
        self.enableAutoSIPrefix(False)
        # Its faint lines lie below what is plotted.
        self.setZValue(-1)
        self.setFlag(self.GraphicsItemFlag.ItemNegativeZStacksBehindParent)

    def dress(self, look: Palette, font: QFont, words: str = "", *, lines: bool = True) -> None:
        """Give it colours, type and what it is an axis of; ``lines`` across the plot."""
        self.setPen(pen(look.grid))
        self.setTextPen(pen(look.text))
        self.setStyle(tickFont=font, tickLength=0, hideOverlappingLabels=False)
        self.setGrid(255 if lines else False)
        if words:
            self.label.setFont(font)
            self.setLabel(escape(words))

    def _updateLabel(self) -> None:
        """Lay its heading out, where it has one: an axis is made anew for every frame of a strip.

        pyqtgraph lays out even an empty one for each pen and style that the axis is given.
        """
        if self.labelText:
            super()._updateLabel()

    def fit(self, width: float, height: float = math.inf) -> None:
        """Take the room that the numbers shown now need.

        ``width`` is that of the whole plot, ``height`` that of what is plotted.
        """
        if not self._upright:
            return
        ((_, places),) = self.tickValues(*self.range, max(100.0, self.size().height()))
        texts = self.tickStrings(places, 1.0, 0.0)
        wide = max((self._metrics.horizontalAdvance(text) for text in texts), default=0.0)
        self._take(wide + _AROUND)

    def _take(self, needed: float) -> None:
        """So many pixels, and a line of words where it has a heading."""
        needed += 1.6 * self._metrics.height() if self.label.isVisible() else 0.0
        needed = needed if self.wide is None else self.wide
        if self._upright and needed != self.fixedWidth:
            self.setWidth(needed)
        elif not self._upright and needed != self.fixedHeight:
            self.setHeight(needed)

    @property
    def _metrics(self) -> QFontMetricsF:
        return QFontMetricsF(self.style["tickFont"] or QFont())

    def tickValues(self, low: float, high: float, size: float) -> list[tuple[float, list[float]]]:
        """One level of ticks, as many as there is room for."""
        values = self.values
        shown = Scale(values.value(low), values.value(high), 0, 1, values.logarithmic)
        if not shown.low < shown.high:
            return []
        each = 2.2 * self._metrics.height()
        if not self._upright:
            each = self._metrics.horizontalAdvance("000  ")
        most = max(2, min(_MOST, int(size / each)))
        found = shown.ticks(most)
        while not self._upright and most > 1 and self._widest(found) * len(found) > size:
            most -= 1
            found = shown.ticks(most)
        self._ticks = {values.at(tick): tick for tick in found}
        return [(0.0, list(self._ticks))]

    def _widest(self, ticks: list[float]) -> float:
        texts = (tick_text(tick, ticks) for tick in ticks)
        return max(self._metrics.horizontalAdvance(text) for text in texts) + _SPACE

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        """As many decimals as the steps need."""
        ticks = list(self._ticks.values())
        return [tick_text(self._ticks[at], ticks) for at in values]

    def boundingRect(self) -> QRectF:
        """With room for the first and the last words: what does not fit into it is left out."""
        room = super().boundingRect()
        if self._upright:
            half = self._metrics.height() / 2
            return room.adjusted(0, -half, 0, half)
        return room.adjusted(-_LEFT, 0, _RIGHT, 0)

    def paint(self, p: QPainter, opt: Any, widget: Any) -> None:
        """Drawn at once: a picture kept of it would be of the screen, and not fit the paper."""
        if self.style["tickFont"]:
            p.setFont(self.style["tickFont"])
        specs = self.generateDrawSpecs(p)
        if specs is not None:
            self.drawPicture(p, *specs)


class DateAxis(RoundAxis):
    """Days and hours: its values are hours after a moment."""

    def __init__(self, side: str, values: Scale, since: dt.datetime) -> None:
        super().__init__(side, values)
        self._since = since
        self._said: dict[float, str] = {}

    def tickValues(self, low: float, high: float, size: float) -> list[tuple[float, list[float]]]:
        """Midnights, or round hours, as many as there is room for."""
        ends = self.values.value(low), self.values.value(high)
        most = max(2, int(size / self._metrics.horizontalAdvance("Wed 30 Mar   ")))
        ticks = date_ticks(self._since, *ends, most)
        self._said = {self.values.at(at): words for at, words in ticks}
        return [(0.0, list(self._said))]

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        """The words of each place."""
        return [self._said[at] for at in values]


class NamedAxis(RoundAxis):
    """Words where they belong, as many as there is room for; shortened where they are too long."""

    def name(
        self,
        names: Sequence[tuple[float, str]],
        look: Palette,
        font: QFont,
        words: str = "",
        *,
        share: float = 1.0,
        lines: bool = False,
    ) -> None:
        """Say these, each at its place, in no more than a ``share`` of the width of all."""
        self.dress(look, font, words, lines=lines)
        if not lines:
            self.setPen(QPen(Qt.PenStyle.NoPen))
        self._whole, self._share = sorted(names), share
        self._names: list[tuple[float, str]] = []

    def fit(self, width: float, height: float = math.inf) -> None:
        """All are as wide as this: break what does not fit, shorten what has no room for that."""
        metrics, most = self._metrics, self._share * width
        self._names = self._whole
        if self._share < 1:
            self._names = [(at, _wrapped(text, metrics, most)) for at, text in self._whole]
        if self._upright and self._share < 1:
            each = height / max(1, len(self._whole))
            self._names = [
                (at, text if 1.05 * metrics.size(0, text).height() <= each else cut)
                for (at, text), cut in zip(self._names, self._shortened(most), strict=True)
            ]
        sizes = [metrics.size(0, text) for _, text in self._names]
        wide = max((size.width() for size in sizes), default=0.0)
        high = max((size.height() for size in sizes), default=0.0)
        self._room = {
            at: 1.05 * size.height() if self._upright else size.width() + _SPACE / 2
            for (at, _), size in zip(self._names, sizes, strict=True)
        }
        beside = 2 if self.orientation == "right" else 1
        self._take((wide if self._upright else high) + beside * _AROUND)

    def _shortened(self, most: float) -> list[str]:
        return [_cut(text, self._metrics, most) for _, text in self._whole]

    def tickValues(self, low: float, high: float, size: float) -> list[tuple[float, list[float]]]:
        """Those shown, but for the ones that would lie over the one before."""
        found: list[float] = []
        per_px = (high - low) / max(size, 1.0)
        for at, _ in self._names:
            if low <= at <= high:
                least = (self._room[at] + self._room[found[-1]]) / 2 if found else 0.0
                if not found or at - found[-1] >= 0.999 * least * per_px:
                    found.append(at)
        return [(0.0, found)]

    def tickStrings(self, values: list[float], scale: float, spacing: float) -> list[str]:
        """The words of each place."""
        said = dict(self._names)
        return [said[at] for at in values]


def _cut(text: str, metrics: QFontMetricsF, most: float) -> str:
    return metrics.elidedText(text, Qt.TextElideMode.ElideRight, most)


def _wrapped(text: str, metrics: QFontMetricsF, most: float) -> str:
    """In as many lines as it needs; a single word that is too long is shortened."""
    lines: list[str] = []
    for line in text.split("\n"):
        held = ""
        for word in line.split():
            longer = f"{held} {word}".lstrip()
            if held and metrics.horizontalAdvance(longer) > most:
                lines.append(held)
                longer = word
            held = longer
        lines.append(held)
    return "\n".join(_cut(line, metrics, most) for line in lines)
