"""The page of losses and rates: all figures, two charts and the products."""

from __future__ import annotations

from PySide6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

from gui.headline.losses import LossStaircase
from gui.headline.products import ProductsView
from gui.headline.rates import VView
from gui.headline.row import HeadlineView, all_figures
from gui.look import NEAR
from gui.shift import ShownShift


class LossesPage(QScrollArea):
    """The row of figures, the staircase of losses, the rates of the stations, the products."""

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        inner = QWidget(self)
        self.headline = HeadlineView(shown, inner, figures=all_figures)
        self.losses = LossStaircase(shown, inner)
        self.rates = VView(shown, inner)
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(NEAR)
        column.addWidget(self.headline)
        for part in (self.losses, self.rates):
            column.addWidget(part, 1)
        self.products = ProductsView(shown, inner)
        column.addWidget(self.products)
        self.setWidget(inner)
