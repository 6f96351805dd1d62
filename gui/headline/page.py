"""The page of losses and rates: two drawings, each with its title and ways to take it away."""

from __future__ import annotations

from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from gui import dialogs
from gui.headline.losses import LossStaircase
from gui.headline.products import ProductsView
from gui.headline.rates import VView
from gui.look import PlainLabel
from gui.look.drawn import Drawn
from gui.pages.clipboard import put_drawing
from gui.shift import ShownShift

_LOSSES = "From planned time to good output: the six big losses"
_RATES = "What each station could make, rated and net of its own stops"


class LossesPage(QWidget):
    """The staircase of losses above, the rates of the stations below, then the products."""

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.losses = TitledDrawing(_LOSSES, LossStaircase(shown, self), self)
        self.rates = TitledDrawing(_RATES, VView(shown, self), self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        for part in (self.losses, self.rates):
            column.addWidget(part, 1)
        self.products = ProductsView(shown, self)
        column.addWidget(self.products)


class TitledDrawing(QWidget):
    """A drawing below its title, with buttons that copy and save it."""

    def __init__(self, title: str, drawn: Drawn, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.drawn = drawn
        drawn.setAccessibleName(title)
        label = PlainLabel(title, self)
        font = label.font()
        font.setBold(True)
        label.setFont(font)
        self.copy = QPushButton("Copy picture", self)
        self.copy.setToolTip("This drawing, to paste")
        self.copy.clicked.connect(self._copy)
        self.save = QPushButton("Save SVG…", self)
        self.save.setToolTip("This drawing, as a file")
        self.save.clicked.connect(self._save)
        for button in (self.copy, self.save):
            button.setAccessibleName(f"{button.text()} {title}")
        self.status = PlainLabel("", self)
        self.status.setVisible(False)
        row = QHBoxLayout()
        row.setContentsMargins(8, 2, 2, 0)
        row.addWidget(label, 1)
        row.addWidget(self.copy)
        row.addWidget(self.save)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(row)
        column.addWidget(self.status)
        column.addWidget(drawn, 1)

    def _copy(self) -> None:
        put_drawing(self.drawn)

    def _save(self) -> None:
        path = dialogs.ask_file(self, "Save the drawing", "", "Drawings (*.svg)")
        if path is None:
            return
        try:
            self.drawn.save_svg(path)
            words = ""
        except OSError as error:
            words = f"▲ It could not be written: {error}"
        self.status.setText(words)
        self.status.setVisible(bool(words))
