"""Labels that show what a scenario or a log calls things as it is written."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QMargins, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import QLabel, QWidget

from gui.look.current_palette import palette_of
from gui.look.focus_ring import draw_focus
from gui.look.tool_tip import plain_tip


class PlainLabel(QLabel):
    """A label that takes no text for markup; whoever shows markup of its own says so."""

    def __init__(self, text: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setText(text)

    def sizeHint(self) -> QSize:
        """The letter that leads to a control stands apart from those that it else moves up to."""
        needed = super().sizeHint()
        return needed.grownBy(QMargins(0, 0, self._apart(), 0))

    def minimumSizeHint(self) -> QSize:
        needed = super().minimumSizeHint()
        return needed.grownBy(QMargins(0, 0, self._apart(), 0))

    def _apart(self) -> int:
        return self.fontMetrics().height() // 4 if "&" in self.text() else 0

    def paintEvent(self, event: QPaintEvent) -> None:
        """Words that are read and followed by keys have the ring, too."""
        super().paintEvent(event)
        draw_focus(self)

    def changeEvent(self, event: QEvent) -> None:
        """Light and dark: Qt writes the colour of links into markup when it is set."""
        super().changeEvent(event)
        markup = self.textFormat() == Qt.TextFormat.RichText
        if markup and event.type() == QEvent.Type.PaletteChange:
            text = self.text()
            self.clear()
            self.setText(text)


class ColumnLabel(PlainLabel):
    """As wide as the widest label of its column, which several forms may share."""

    def __init__(self, text: str, column: list[ColumnLabel]) -> None:
        super().__init__(text)
        self._column = column
        column.append(self)

    def sizeHint(self) -> QSize:
        return self._in_column(super().sizeHint())

    def minimumSizeHint(self) -> QSize:
        return self._in_column(super().minimumSizeHint())

    def _in_column(self, needed: QSize) -> QSize:
        return needed.expandedTo(QSize(max(each.words_px() for each in self._column), 0))

    def words_px(self) -> int:
        """How wide its own words are, px."""
        return super().sizeHint().width()


def label_of(control: QWidget, text: str, column: list[ColumnLabel] | None = None) -> PlainLabel:
    """A label that says what *control* is; the letter after ``&`` in *text* leads to it."""
    label = PlainLabel(text) if column is None else ColumnLabel(text, column)
    label.setBuddy(control)
    return label


class PageTitle(PlainLabel):
    """The title of a page; its size is that of its class (``gui.look.type``)."""


class FigureLabel(PlainLabel):
    """A figure that is to be seen before the words around it."""


class WallFigure(PlainLabel):
    """A figure to be read from some metres away."""


class WallText(PlainLabel):
    """Words to be read from some metres away."""


class QuietLabel(PlainLabel):
    """Words that step back: there for who looks for them."""

    def __init__(self, text: str = "", parent: QWidget | None = None) -> None:
        super().__init__(text, parent)
        self.setForegroundRole(QPalette.ColorRole.PlaceholderText)
        self.setWordWrap(True)


class ElidedLabel(PlainLabel):
    """Words that make no page wider: what has no room ends in dots, and the tip has all of it."""

    def __init__(self, text: str = "", parent: QWidget | None = None) -> None:
        super().__init__(text, parent)
        self.setMinimumWidth(1)

    def paintEvent(self, event: QPaintEvent) -> None:
        area = self.contentsRect()
        words = self.fontMetrics().elidedText(
            self.text(), Qt.TextElideMode.ElideRight, area.width()
        )
        painter = QPainter(self)
        self.style().drawItemText(
            painter,
            area,
            int(Qt.AlignmentFlag.AlignVCenter),
            self.palette(),
            self.isEnabled(),
            words,
            self.foregroundRole(),
        )


class FaultLabel(PlainLabel):
    """What is wrong, in the colour of trouble and with its sign; hidden where nothing is."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("", parent)
        self.setWordWrap(True)
        self.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._colour()
        self.hide()

    def say(self, *faults: str, details: str = "") -> None:
        """Show these faults, those that are empty left out; nothing where none are left."""
        there = [words for words in faults if words]
        self.setText("\n".join(f"▲ {words}" for words in there))
        self.setToolTip(plain_tip(details))
        self.setVisible(bool(there))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._colour()

    def _colour(self) -> None:
        wanted = palette_of(self).trouble
        palette = self.palette()
        if palette.color(QPalette.ColorRole.WindowText).name() != wanted:
            palette.setColor(QPalette.ColorRole.WindowText, wanted)
            self.setPalette(palette)


def wrapped_label() -> PlainLabel:
    """Text in as many rows as it needs, hidden while there is none."""
    label = PlainLabel()
    label.setWordWrap(True)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    label.hide()
    return label


def placeholder_label(text: str) -> PlainLabel:
    """Stands in the middle of a page where there is nothing to show yet."""
    label = PlainLabel(text)
    label.setAlignment(Qt.AlignmentFlag.AlignCenter)
    label.setForegroundRole(QPalette.ColorRole.PlaceholderText)
    return label
