"""A row that goes on in the next line where there is no more room."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPoint, QRect, QSize
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from gui.look.spacing import NEAR


class FlowRow(QWidget):
    """Widgets beside each other, in as many lines as they need in the width there is.

    It is as high as its lines and no wider than its widest widget must be, so that a row of many
    does not keep a window from becoming small. The order is that of adding.
    """

    def __init__(
        self, gap: int = NEAR, parent: QWidget | None = None, *, level: bool = False
    ) -> None:
        """``level``: those of one line begin at one height; else their middles are at one."""
        super().__init__(parent)
        self._level = level
        self._gap = gap
        self._parts: list[QWidget] = []
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)

    def add(self, part: QWidget) -> None:
        """Put a widget at the end."""
        self._parts.append(part)
        part.setParent(self)
        part.show()
        self._place()

    def sizeHint(self) -> QSize:
        """All in one line."""
        sizes = [_size(part) for part in self._shown()]
        wide = sum(size.width() + self._gap for size in sizes) - self._gap
        return QSize(max(0, wide), max((size.height() for size in sizes), default=0))

    def minimumSizeHint(self) -> QSize:
        """The widest of them alone in a line."""
        wide = max((_size(part).width() for part in self._shown()), default=0)
        return QSize(wide, self.minimumHeight())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width may need other lines."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self._place()

    def showEvent(self, event: QShowEvent) -> None:
        """Nobody is told what changes its size out of sight."""
        super().showEvent(event)
        self._place()

    def event(self, event: QEvent) -> bool:
        """A widget that wants another size, or is hidden, moves those after it."""
        if event.type() == QEvent.Type.LayoutRequest:
            self._place()
            self.updateGeometry()
        return super().event(event)

    def _shown(self) -> list[QWidget]:
        return [part for part in self._parts if not part.isHidden()]

    def _place(self) -> None:
        lines: list[list[tuple[QWidget, QRect]]] = [[]]
        at = QPoint(0, 0)
        high = 0
        for part in self._shown():
            size = _size(part)
            if lines[-1] and at.x() + size.width() > self.width():
                at = QPoint(0, at.y() + high + self._gap // 2)
                high = 0
                lines.append([])
            lines[-1].append((part, QRect(at, size)))
            at.setX(at.x() + size.width() + self._gap)
            high = max(high, size.height())
        for line in lines:
            tall = max((place.height() for _, place in line), default=0)
            for part, place in line:
                down = 0 if self._level else (tall - place.height()) // 2
                part.setGeometry(place.translated(0, down))
        if self.minimumHeight() != at.y() + high or self.maximumHeight() != at.y() + high:
            self.setFixedHeight(at.y() + high)


def _size(part: QWidget) -> QSize:
    """The size that it would like, within what it allows."""
    wanted = part.sizeHint().expandedTo(part.minimumSizeHint()).expandedTo(part.minimumSize())
    return wanted.boundedTo(part.maximumSize())
