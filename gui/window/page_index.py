"""The list of pages in its groups, with how far each is that works."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter
from PySide6.QtWidgets import (
    QFrame,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from gui.look import CLOSE, NEAR, draw_icon, palette_of
from gui.window.page_list import GROUPS, PAGES

_NAME, _PART = Qt.ItemDataRole.UserRole, Qt.ItemDataRole.UserRole + 1
_ICON = 16
_MARK = 3
_PER_CENT = "100 %"
_LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
_RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
_LOW = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom)
_Index = QModelIndex | QPersistentModelIndex


class PageIndex(QListWidget):
    """Groups as headings that are passed over, pages below them; ``turned`` names the chosen."""

    turned = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("pages")
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.viewport().setAutoFillBackground(False)
        self.setMouseTracking(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.compact = False
        self._drawing = _Drawing(self)
        self.setItemDelegate(self._drawing)
        self._rows: dict[str, QListWidgetItem] = {}
        for group, names in GROUPS.items():
            heading = QListWidgetItem(group, self)
            heading.setFlags(Qt.ItemFlag.NoItemFlags)
            for name in names:
                item = QListWidgetItem(PAGES[name].title, self)
                item.setToolTip(PAGES[name].help)
                item.setData(_NAME, name)
                self._rows[name] = item
        self._fit()
        self.currentItemChanged.connect(self._turn)

    @property
    def name(self) -> str:
        """The name of the chosen page; empty before one was."""
        item = self.currentItem()
        return "" if item is None else str(item.data(_NAME))

    def choose(self, name: str) -> None:
        """Turn to this page."""
        self.setCurrentItem(self._rows[name])

    def step(self, by: int) -> None:
        """Turn to the page so many further on, which goes round."""
        names = list(self._rows)
        self.choose(names[(names.index(self.name) + by) % len(names)])

    def show_progress(self, name: str, part: float) -> None:
        """How far the work on a page is, 0 to 1; below 0: nothing is under way there."""
        item = self._rows[name]
        item.setData(_PART, part if part >= 0 else None)
        says = f"{PAGES[name].title}, {part:.0%} done" if part >= 0 else None
        item.setData(Qt.ItemDataRole.AccessibleTextRole, says)

    def progress_of(self, name: str) -> float | None:
        """How far the work on a page is; None where there is none."""
        found = self._rows[name].data(_PART)
        return None if found is None else float(found)

    def changeEvent(self, event: QEvent) -> None:
        """Larger letters need more room."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange and hasattr(self, "_rows"):
            self._fit()

    @property
    def least_width(self) -> int:
        """Room for icons alone, px."""
        return _ICON + 2 * NEAR + self.verticalScrollBar().sizeHint().width()

    def set_compact(self, compact: bool) -> None:
        """Icons alone, where there is room for no more; tips say their names."""
        if compact != self.compact:
            self.compact = compact
            self._fit()

    def _fit(self) -> None:
        metrics = self.fontMetrics()
        widest = max(metrics.horizontalAdvance(PAGES[name].title) for name in self._rows)
        bar = self.verticalScrollBar().sizeHint().width()
        beside = _ICON + 3 * NEAR + metrics.horizontalAdvance(_PER_CENT)
        self.setFixedWidth(self.least_width if self.compact else widest + beside + bar)
        self.doItemsLayout()

    def _turn(self, item: QListWidgetItem | None) -> None:
        if item is not None:
            self.turned.emit(str(item.data(_NAME)))


class _Drawing(QStyledItemDelegate):
    """Icon, title and per cent; the chosen one on a tint, with a bar before it."""

    def sizeHint(self, option: QStyleOptionViewItem, index: _Index) -> QSize:
        high: int = option.fontMetrics.height()
        return QSize(0, high + (2 * NEAR if index.data(_NAME) is None else NEAR))

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: _Index) -> None:
        owner = self.parent()
        assert isinstance(owner, PageIndex)
        look, box = palette_of(owner), QRectF(option.rect)
        painter.save()
        if index.data(_NAME) is None:
            painter.setPen(QColor(look.grid if owner.compact else look.quiet))
            if owner.compact:
                painter.drawLine(box.bottomLeft(), box.bottomRight())
            else:
                painter.drawText(box.adjusted(NEAR, 0, 0, -CLOSE), _LOW, index.data())
            painter.restore()
            return
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        over = bool(option.state & QStyle.StateFlag.State_MouseOver)
        if chosen or over:
            painter.fillRect(box, QColor(look.tint))
        if chosen:
            painter.fillRect(QRectF(box.left(), box.top(), _MARK, box.height()), QColor(look.curve))
        if chosen and owner.hasFocus():
            painter.setPen(QColor(look.curve))
            painter.drawRect(box.adjusted(0.5, 0.5, -0.5, -0.5))
        ink = QColor(look.curve if chosen else look.text)
        icon = QRectF(box.left() + NEAR, box.center().y() - _ICON / 2, _ICON, _ICON)
        draw_icon(painter, index.data(_NAME), icon, ink)
        painter.setPen(QColor(look.text))
        left, part = icon.right() + NEAR, index.data(_PART)
        if owner.compact:
            left = icon.left()
        else:
            painter.drawText(box.adjusted(left - box.left(), 0, 0, 0), _LEFT, index.data())
        if part is not None:
            painter.setPen(QColor(look.curve))
            if not owner.compact:
                says = f"{part:.0%}".replace("%", " %")
                painter.drawText(box.adjusted(0, 0, -NEAR, 0), _RIGHT, says)
            painter.fillRect(
                QRectF(left, box.bottom() - 2, (box.right() - left) * part, 2), QColor(look.curve)
            )
        painter.restore()
