"""One calm row: reams an hour, effectiveness and its factors, waste, what holds the line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QVBoxLayout, QWidget

from gui.headline.figures import FiguresShown
from gui.look import FigureLabel, FlowRow, PlainLabel, QuietLabel, one_decimal, plain_tip
from gui.shift import connect_weakly
from linesim.report import capital, glance, glance_difference

if TYPE_CHECKING:
    from gui.shift import ShownShift
    from linesim import Record
    from linesim.studies import Replicated

_HOLDS = "holds the line"
_EMPTY = "–"
_BETWEEN = 14


class FigureCell(QWidget):
    """A figure under its name."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.name = QuietLabel(name, self)
        self.name.setWordWrap(False)
        self.value = FigureLabel(_EMPTY, self)
        self.value.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
            | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.name)
        column.addWidget(self.value)

    def show_figure(self, name: str, value: str, meaning: str) -> None:
        """Show a figure; its meaning is the tip."""
        self.name.setText(name)
        self.value.setText(one_decimal(value))
        # A station's name may stand in it.
        self.setToolTip(
            plain_tip(f"{value}. {meaning}" if one_decimal(value) != value else meaning)
        )
        self.value.setAccessibleName(name)
        self.value.setAccessibleDescription(f"{name}: {value}. {meaning}")


class HeadlineView(QWidget):
    """The row, what its figures rest on, and the difference to the run before."""

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self._figures = FiguresShown(shown)
        self.setAccessibleName("Figures of the line")
        self._row = FlowRow(_BETWEEN)
        self.cells: list[FigureCell] = []
        self.basis = QuietLabel("", self)
        self.difference = PlainLabel("", self)
        for label in (self.basis, self.difference):
            label.setWordWrap(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 6, 12, 6)
        column.setSpacing(2)
        column.addWidget(self._row)
        column.addWidget(self.basis)
        column.addWidget(self.difference)
        shown.add_preparation(self.prepare)
        connect_weakly(shown.record_changed, self._other_run)
        connect_weakly(shown.figures_changed, self.refresh)
        connect_weakly(shown.busy_changed, self._busy)
        self.refresh()

    def prepare(self, record: Record, _ghost: Record | None) -> None:
        """Work out the figures of a run that is about to be shown; in any thread."""
        self._figures.prepare(record)

    @property
    def now(self) -> Replicated | None:
        """What the figures are of; None where no run is shown."""
        return self._figures.now()

    def refresh(self) -> None:
        """Say what is known now."""
        now = self.now
        if now is None:
            for cell in self.cells:
                cell.show_figure(cell.name.text(), _EMPTY, "")
            self._say_basis("No run is shown yet.")
            self._say_difference("")
            return
        row = glance(now)
        wanted = [(each.name, each.value, each.meaning) for each in row.figures]
        wanted.append((_HOLDS, row.holds, row.holds_because))
        self._fill(wanted)
        self._say_basis(row.basis)
        before = self._figures.before()
        self._say_difference("" if before is None else glance_difference(now, before))

    def _fill(self, wanted: list[tuple[str, str, str]]) -> None:
        while len(self.cells) < len(wanted):
            cell = FigureCell("", self)
            self.cells.append(cell)
            self._row.add(cell)
        for cell, (name, value, meaning) in zip(self.cells, wanted, strict=False):
            cell.show_figure(name, value, meaning)
        # A line without power says nothing of energy: its row is shorter.
        for n, cell in enumerate(self.cells):
            cell.setVisible(n < len(wanted))

    def _say_basis(self, text: str) -> None:
        busy = " The line is being run again …" if self._shown.busy else ""
        self.basis.setText(f"{capital(text)}.{busy}".replace("..", "."))

    def _say_difference(self, text: str) -> None:
        self.difference.setText(text)
        self.difference.setVisible(bool(text))

    def _other_run(self) -> None:
        self._figures.forget()
        self.refresh()

    def _busy(self, _busy: bool) -> None:
        self.refresh()
