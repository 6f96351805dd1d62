"""The headings of a table, broken into lines where their columns are narrow."""

from __future__ import annotations

from PySide6.QtCore import QRect, QSize, Qt
from PySide6.QtGui import QFont, QFontMetrics
from PySide6.QtWidgets import QHeaderView, QWidget

_BROKEN = Qt.AlignmentFlag.AlignCenter.value | Qt.TextFlag.TextWordWrap.value


class WrappedHeader(QHeaderView):
    """As high as the headings need in the widths that columns have."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setSectionsClickable(True)
        self.setDefaultAlignment(Qt.AlignmentFlag(_BROKEN))

    def least(self, column: int) -> int:
        """Width in which no word of a heading is broken, px."""
        longest = max(self._said(column).split(), key=len, default="")
        return self._around(column) + self._wide(longest)

    def fit_height(self) -> None:
        """Columns have other widths: by itself Qt asks again only where headings are others."""
        self.headerDataChanged(Qt.Orientation.Horizontal, 0, max(0, self.count() - 1))
        self.geometriesChanged.emit()

    def sectionSizeFromContents(self, column: int) -> QSize:
        """Wide enough for no break, as high as it is with those that its width makes."""
        size = super().sectionSizeFromContents(column)
        metrics, said = self._metrics, self._said(column)
        room = QRect(0, 0, self.sectionSize(column) - self._around(column), 9999)
        broken = metrics.boundingRect(room, _BROKEN, said).height()
        whole = metrics.size(0, said).height()
        return size + QSize(0, max(0, broken - whole))

    def _said(self, column: int) -> str:
        return str(self.model().headerData(column, Qt.Orientation.Horizontal) or "")

    def _wide(self, said: str) -> int:
        return self._metrics.size(0, said).width()

    @property
    def _metrics(self) -> QFontMetrics:
        """Of the letters that Qt leaves room for: those of a column in which a cell is chosen."""
        bold = QFont(self.font())
        bold.setBold(True)
        return QFontMetrics(bold)

    def _around(self, column: int) -> int:
        """What a heading needs beside its words, px."""
        return super().sectionSizeFromContents(column).width() - self._wide(self._said(column))
