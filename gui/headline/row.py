"""Figures of the line in a calm row, each with its change since the last edit beside it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QGridLayout, QVBoxLayout, QWidget

from gui.headline.figures import FiguresShown, of_run
from gui.look import (
    CLOSE,
    FAR,
    NEAR,
    FigureLabel,
    FlowRow,
    PlainLabel,
    QuietLabel,
    one_decimal,
    plain_tip,
)
from gui.shift import connect_weakly
from linesim.report import GlanceFigure, capital, glance, key_figures

if TYPE_CHECKING:
    from gui.shift import ShownShift
    from linesim import Record
    from linesim.studies import Replicated

_EMPTY = "–"
_LINE_CH = 28
"""A figure takes another line from so many letters on."""


class FigureCell(QWidget):
    """A figure under its name; beside it what has changed."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.name = QuietLabel("", self)
        self.name.setWordWrap(False)
        self.value = FigureLabel(_EMPTY, self)
        self.change = PlainLabel("", self)
        for label in (self.value, self.change):
            label.setTextInteractionFlags(
                Qt.TextInteractionFlag.TextSelectableByMouse
                | Qt.TextInteractionFlag.TextSelectableByKeyboard
            )
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setVerticalSpacing(0)
        grid.setHorizontalSpacing(NEAR)
        grid.addWidget(self.name, 0, 0, 1, 2)
        grid.addWidget(self.value, 1, 0)
        grid.addWidget(self.change, 1, 1, Qt.AlignmentFlag.AlignBottom)
        grid.setColumnStretch(1, 1)

    def show_figure(self, figure: GlanceFigure) -> None:
        """Show a figure; its meaning is the tip."""
        name, value, meaning = figure.name, figure.value, figure.meaning
        self.name.setText(name)
        self.value.setText(one_decimal(value))
        # A station's name may stand in it.
        self.value.setToolTip(
            plain_tip(f"{value}. {meaning}" if one_decimal(value) != value else meaning)
        )
        self.value.setAccessibleName(name)
        self.value.setAccessibleDescription(f"{name}: {value}. {meaning}")
        self.change.setText(one_decimal(figure.change))
        self.change.setVisible(bool(figure.change))
        self.change.setToolTip(plain_tip(f"{figure.change}: {figure.change_meaning}".rstrip(": ")))
        self.change.setAccessibleName(f"change of {name}")
        self._fit()

    def changeEvent(self, event: QEvent) -> None:
        """Larger letters need more room."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._fit()

    def _fit(self) -> None:
        """A station's long name breaks before it makes the page wider than a small screen."""
        metrics = self.value.fontMetrics()
        most = _LINE_CH * metrics.averageCharWidth()
        long = metrics.horizontalAdvance(self.value.text()) > most
        self.value.setWordWrap(long)
        self.value.setMinimumWidth(most if long else 0)


def all_figures(now: Replicated, _before: Replicated | None) -> tuple[GlanceFigure, ...]:
    """The whole row, and what holds the line."""
    row = glance(now)
    return (*row.figures, GlanceFigure("holds the line", row.holds, row.holds_because))


class HeadlineView(QWidget):
    """The figures, and below them what they rest on."""

    def __init__(
        self,
        shown: ShownShift,
        parent: QWidget | None = None,
        *,
        figures: Callable[[Replicated, Replicated | None], tuple[GlanceFigure, ...]] = key_figures,
    ) -> None:
        """``figures``: those of a line, against the one before."""
        super().__init__(parent)
        self._shown, self._tell = shown, figures
        self._figures = FiguresShown(shown)
        self.setAccessibleName("Figures of the line")
        self._row = FlowRow(FAR)
        self.cells: list[FigureCell] = []
        self.basis = QuietLabel("", self)
        column = QVBoxLayout(self)
        column.setContentsMargins(NEAR + CLOSE, CLOSE, NEAR + CLOSE, CLOSE)
        column.setSpacing(0)
        column.addWidget(self._row)
        column.addWidget(self.basis)
        shown.add_preparation(self.prepare)
        connect_weakly(shown.record_changed, self.refresh)
        connect_weakly(shown.figures_changed, self.refresh)
        connect_weakly(shown.busy_changed, self._busy)
        self.refresh()

    def prepare(self, record: Record, _ghost: Record | None) -> None:
        """Work out the figures of a run that is about to be shown; in any thread."""
        of_run(record)

    @property
    def now(self) -> Replicated | None:
        """What the figures are of; None where no run is shown."""
        return self._figures.now()

    def refresh(self) -> None:
        """Say what is known now."""
        now = self.now
        if now is None:
            for cell in self.cells:
                cell.show_figure(GlanceFigure(cell.name.text(), _EMPTY, ""))
            self._say_basis("No run is shown yet.")
            return
        self._fill(self._tell(now, self._figures.before()))
        self._say_basis(glance(now).basis)

    def _fill(self, wanted: tuple[GlanceFigure, ...]) -> None:
        while len(self.cells) < len(wanted):
            cell = FigureCell(self)
            self.cells.append(cell)
            self._row.add(cell)
        for cell, figure in zip(self.cells, wanted, strict=False):
            cell.show_figure(figure)
        # A line without power says nothing of energy: its row is shorter.
        for n, cell in enumerate(self.cells):
            cell.setVisible(n < len(wanted))

    def _say_basis(self, text: str) -> None:
        busy = " The line is being run again …" if self._shown.busy else ""
        changed = any(cell.change.text() for cell in self.cells)
        since = "against the run without the stop" if self._shown.forced else "since the last edit"
        change = f" Beside: the change {since}." if changed else ""
        self.basis.setText(f"{capital(text)}.{change}{busy}".replace("..", "."))

    def _busy(self, _busy: bool) -> None:
        self.refresh()
