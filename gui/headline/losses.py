"""The staircase from planned time down to good output, a bar for each loss."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QWidget

from gui.headline.figures import FiguresShown
from gui.look.drawn import Drawn, Spot
from gui.shift import connect_weakly
from linesim.report import glance, loss_changes, loss_staircase

if TYPE_CHECKING:
    from gui.look import Palette
    from gui.shift import ShownShift
    from linesim import Record
    from linesim.report import LossChange, LossStep

_MARGIN = 12.0
_ELIDE = Qt.TextElideMode.ElideRight
_DIFFERENCE = "difference, same random numbers"
_RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)


class LossStaircase(Drawn):
    """Planned time on top, good output at the bottom; each loss begins where the last one ended.

    The whisker on a bar is its interval; its thick part, where it has one, what luck leaves open.
    """

    names_itself = False

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._figures = FiguresShown(shown)
        self._shown = shown
        self.steps: tuple[LossStep, ...] = ()
        self.changes: tuple[LossChange, ...] = ()
        self.basis = ""
        self.setMinimumSize(QSize(420, 220))
        self.setAccessibleName("From planned time to good output")
        shown.add_preparation(self.prepare)
        connect_weakly(shown.record_changed, self._other_run)
        connect_weakly(shown.figures_changed, self.refresh)
        self.refresh()

    def prepare(self, record: Record, _ghost: Record | None) -> None:
        """Work out the figures of a run that is about to be shown; in any thread."""
        self._figures.prepare(record)

    def _other_run(self) -> None:
        self._figures.forget()
        self.refresh()

    def refresh(self) -> None:
        """Show what is known now."""
        now = self._figures.now()
        self.steps = () if now is None else loss_staircase(now)
        before = self._figures.before()
        self.changes = ()
        self.basis = "" if now is None else glance(now).basis
        if now is not None and before is not None:
            self.changes = loss_changes(now, before)
            ghost = "without the stop" if self._shown.forced else "before the change"
            self.basis += f"; dashed: {ghost}"
        self.source = "" if now is None else now.scenario.line.name
        self.setAccessibleDescription(self._described() or "No run is shown.")
        self.update()

    def _described(self) -> str:
        if not self.steps:
            return ""
        differs = {change.name: f", {change.value} more or less" for change in self.changes}
        words = "; ".join(
            f"{step.name} {step.value}, {step.share}{differs.get(step.name, '')}"
            for step in self.steps
        )
        return f"{words} ({self.basis})"

    def draw(
        self, painter: QPainter, room: QRectF, look: Palette, *, on_screen: bool
    ) -> list[Spot]:
        """The steps, the same on screen and on paper."""
        return draw_staircase(painter, room, self.steps, self.changes, self.basis, look)


def draw_staircase(
    painter: QPainter,
    room: QRectF,
    steps: tuple[LossStep, ...],
    changes: tuple[LossChange, ...],
    basis: str,
    palette: Palette,
) -> list[Spot]:
    """Draw the steps into an area; gives each row with what it says when pointed at.

    ``changes`` are drawn behind the steps as the outline of the line before; none: there is none.
    """
    width, height = room.width(), room.height()
    painter.setPen(QColor(palette.text))
    if not steps:
        painter.drawText(room, Qt.AlignmentFlag.AlignCenter, "No run yet.")
        return []
    metrics = QFontMetricsF(painter.font())
    line = 1.35 * metrics.height()
    names = max(metrics.horizontalAdvance(step.name) for step in steps) + 14
    values = max(metrics.horizontalAdvance(step.value) for step in steps) + 18
    shares = max(metrics.horizontalAdvance(step.share) for step in steps) + 14
    differs = {change.name: change for change in changes}
    lasts = max((metrics.horizontalAdvance(each.value) for each in changes), default=-18) + 18
    left, right = _MARGIN + names, width - _MARGIN - values - shares - lasts
    each = min(2.2 * line, max(line * 0.8, (height - 2 * line) / len(steps)))
    drawn: list[LossStep | LossChange] = [*steps, *changes]
    whole = max(max(each.top_h, each.bottom_h) for each in drawn) or 1.0
    scale = max(40.0, right - left) / whole
    painter.setPen(QColor(palette.quiet))
    head = QRectF(_MARGIN, 2, width - 2 * _MARGIN, line)
    if changes:
        painter.drawText(head, _RIGHT, _DIFFERENCE)
        head.setRight(head.right() - metrics.horizontalAdvance(_DIFFERENCE) - 18)
    painter.drawText(head, _LEFT, metrics.elidedText(basis, _ELIDE, head.width()))
    top = 1.3 * line
    before: float | None = None
    spots: list[Spot] = []
    for step in steps:
        row = QRectF(0, top, width, each)
        spots.append((row, _step_text(step, differs.get(step.name))))
        painter.setPen(QColor(palette.text))
        painter.drawText(QRectF(_MARGIN, row.top(), names - 8, each), _RIGHT, step.name)
        painter.drawText(QRectF(right, row.top(), values, each), _RIGHT, step.value)
        painter.setPen(QColor(palette.quiet))
        painter.drawText(QRectF(right + values, row.top(), shares, each), _RIGHT, step.share)
        bar = _bar(step, row, left, scale)
        painter.fillRect(bar, QColor(_fill(step, palette)))
        change = differs.get(step.name)
        if change is not None:
            last = QRectF(right + values + shares, row.top(), lasts, each)
            painter.drawText(last, _RIGHT, change.value)
            _outline(painter, _bar(change, row, left, scale), palette)
        if before is not None and not step.whole:
            painter.setPen(QPen(QColor(palette.ghost), 1.0))
            x = left + step.top_h * scale
            _line(painter, x, before, x, bar.bottom())
        _whisker(painter, step, left, scale, bar, palette)
        before = bar.top()
        top += each
    return spots


def _step_text(step: LossStep, change: LossChange | None) -> str:
    words = f"{step.name}: {step.value}, {step.share} of planned time"
    return words if change is None else f"{words}\n{_DIFFERENCE}: {change.value}"


def _bar(step: LossStep | LossChange, row: QRectF, left: float, scale: float) -> QRectF:
    low, high = sorted((step.top_h, step.bottom_h))
    tall = row.height()
    return QRectF(left + low * scale, row.top() + 0.18 * tall, (high - low) * scale, 0.64 * tall)


def _outline(painter: QPainter, bar: QRectF, palette: Palette) -> None:
    """The line before: higher than the bar, so that it shows where both are alike."""
    pen = QPen(QColor(palette.ghost), 1.2, Qt.PenStyle.CustomDashLine)
    pen.setDashPattern([3.0, 2.0])
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    more = 0.18 * bar.height()
    painter.drawRect(bar.adjusted(0, -more, 0, more))


def _fill(step: LossStep, palette: Palette) -> str:
    if not step.whole:
        return palette.ghost
    return palette.curve if step.name == "good output" else palette.grid


def _whisker(
    painter: QPainter, step: LossStep, left: float, scale: float, bar: QRectF, palette: Palette
) -> None:
    """The interval, at the end of the bar that the figure moves."""
    if not 0 < step.both_h < math.inf:
        return
    end = left + (step.top_h if step.whole else step.bottom_h) * scale
    half, y = step.both_h * scale, bar.center().y()
    painter.setPen(QPen(QColor(palette.text), 1.2))
    _line(painter, end - half, y, end + half, y)
    for x in (end - half, end + half):
        _line(painter, x, y - 3, x, y + 3)
    if step.both_h > step.half_width_h:
        half = step.half_width_h * scale
        painter.setPen(QPen(QColor(palette.text), 3.0))
        _line(painter, end - half, y, end + half, y)


def _line(painter: QPainter, x1: float, y1: float, x2: float, y2: float) -> None:
    painter.drawLine(round(x1), round(y1), round(x2), round(y2))
