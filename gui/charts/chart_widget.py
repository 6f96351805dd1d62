"""A chart on screen below its title, with the keys for looking closer and ways to take it away."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QBuffer, QEvent, QIODevice, QRectF, QSize, Qt
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontInfo,
    QFontMetricsF,
    QImage,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPalette,
)
from PySide6.QtWidgets import QHBoxLayout, QMenu, QPushButton, QSizePolicy, QVBoxLayout, QWidget

import linesim
from gui import dialogs
from gui.charts.clipboard import put_picture
from gui.look import (
    CLOSE,
    LIGHT,
    NEAR,
    FaultLabel,
    PlainLabel,
    draw_focus,
    palette_of,
    wrapped_label,
)

if TYPE_CHECKING:
    from gui.charts.plot import Draw, Plot

_PICTURE = QSize(960, 560)
_SHARPNESS = 2.0
_MOST_SAID = 12
"""Points of a chart that are told one after the other; more are read with the arrow keys."""
_LEAST_WIDTH = 320
_WRAP = int(Qt.AlignmentFlag.AlignLeft | Qt.TextFlag.TextWordWrap)
_WAYS = {
    Qt.Key.Key_Left: (-0.1, 0.0),
    Qt.Key.Key_Right: (0.1, 0.0),
    Qt.Key.Key_Up: (0.0, 0.1),
    Qt.Key.Key_Down: (0.0, -0.1),
}
_STEPS = {Qt.Key.Key_Left: -1, Qt.Key.Key_Up: -1, Qt.Key.Key_Right: 1, Qt.Key.Key_Down: 1}
_HELP = (
    "Arrow keys read it point by point; plus and minus zoom, Shift with an arrow key moves it,"
    " 0 shows all of it again. The wheel zooms once the chart has been clicked, or with Ctrl."
)


class ChartWidget(QWidget):
    """Shows what ``show_drawing`` is given; pictures are in light colours, with the source."""

    source = ""
    """Where the figures come from."""
    about: tuple[str, ...] = ()
    """Names of what it is of, for the name of its file."""
    least_lines = 16.0
    """How high it must be, in lines of text."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.plot: Plot | None = None
        self._kind: object = None
        self._draw: Draw | None = None
        self._table: Callable[[], linesim.report.AnswerTable | None] = lambda: None
        self._described = ""
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setBackgroundRole(QPalette.ColorRole.Base)
        self.setAutoFillBackground(True)
        self.title = PlainLabel("", self)
        self.title.setWordWrap(True)
        font = self.title.font()
        font.setBold(True)
        self.title.setFont(font)
        self.caption = wrapped_label()
        self.caption.setParent(self)
        self.status = FaultLabel(self)
        self.menu_button = QPushButton("Chart", self)
        # In a dialog it is not what Enter takes.
        self.menu_button.setAutoDefault(False)
        self.menu_button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.menu_button.setToolTip(f"Zoom, copy, save. {_HELP}")
        self.menu = self._make_menu()
        self.menu_button.setMenu(self.menu)
        head = QHBoxLayout()
        head.addWidget(self.title, 1)
        head.addWidget(self.menu_button, 0, Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignRight)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(NEAR, CLOSE, NEAR, CLOSE)
        self._column.setSpacing(CLOSE)
        self._column.addLayout(head)
        self._column.addWidget(self.caption)
        self._column.addWidget(self.status)
        self._column.addStretch(1)

    def _make_menu(self) -> QMenu:
        menu = QMenu(self)
        for words, act in (
            ("Back to all", self.show_all),
            ("Nearer", self._nearer),
            ("Further", self._further),
        ):
            menu.addAction(words).triggered.connect(act)
        menu.addSeparator()
        self.add_ways_to_take_it(menu)
        return menu

    def add_ways_to_take_it(self, menu: QMenu) -> None:
        """Put into a menu how the chart can be taken away."""
        for words, act in (
            ("Copy picture", self.copy_picture),
            ("Save as PNG…", self._ask_png),
            ("Save as SVG…", self._ask_svg),
            ("Save figures as CSV…", self._ask_csv),
        ):
            menu.addAction(words).triggered.connect(act)

    # -- what is shown ------------------------------------------------------------------------

    def show_drawing(
        self,
        kind: object,
        title: str,
        draw: Draw,
        table: Callable[[], linesim.report.AnswerTable | None],
        *,
        caption: str = "",
        described: str = "",
    ) -> None:
        """Show a chart; one of the same ``kind`` stays zoomed, ``table`` gives its figures.

        ``described`` is all of it in words; without it that is what stands at its first points.
        """
        self._kind, self._draw, self._table = kind, draw, table
        self._described = described
        self.title.setText(linesim.report.unbroken(title))
        self.title.setVisible(bool(title))
        self.caption.setText(caption)
        self.caption.setVisible(bool(caption))
        self.setAccessibleName(title)
        self.menu_button.setAccessibleName(f"Chart: {title}")
        self.status.say()
        self._redraw()
        self._told(self.plot.reading.out.words if self.plot is not None else "")

    def _redraw(self) -> None:
        if self._draw is None:
            return
        self.setMinimumSize(_LEAST_WIDTH, round(self.least_lines * self.fontMetrics().height()))
        if self.plot is None:
            self.plot = self._new_plot()
            self.plot.setContextMenuPolicy(Qt.ContextMenuPolicy.NoContextMenu)
            self.plot.reading.read.connect(self._told)
            self._column.takeAt(self._column.count() - 1)
            self._column.addWidget(self.plot, 1)
            self._made_plot(self.plot)
        # Pens count dots of the screen: they would be hairlines on a fine one.
        dots = self.plot.devicePixelRatioF()
        look, font = palette_of(self), self.font()
        self.plot.show_chart(self._kind, self._draw, look, font, sharpness=dots)

    def _made_plot(self, plot: Plot) -> None:
        """There is a plot now: for who has more to do with it."""

    def _new_plot(self) -> Plot:
        # At the first chart, not at the start: pyqtgraph takes its time.
        from gui.charts.plot import Plot

        return Plot(self)

    def _told(self, words: str) -> None:
        told = words or self._described or f"{self._points_in_words()} {_HELP}"
        self.setAccessibleDescription(told.replace("\n", ", "))

    def _points_in_words(self) -> str:
        said = self.said_at_points()
        more = len(said) - _MOST_SAID
        rest = [f"and {more} more"] if more > 0 else []
        return "; ".join([*said[:_MOST_SAID], *rest])

    def paintEvent(self, event: QPaintEvent) -> None:
        """The ring of the focus; the plot draws itself."""
        draw_focus(self)

    def changeEvent(self, event: QEvent) -> None:
        """Light and dark, and the size of type."""
        super().changeEvent(event)
        kinds = (QEvent.Type.PaletteChange, QEvent.Type.FontChange)
        if event.type() in kinds and self._draw is not None:
            self._redraw()

    def said_at_points(self) -> tuple[str, ...]:
        """What it says where, for who looks for words."""
        return () if self.plot is None else tuple(each.words for each in self.plot.reading.spots)

    def read_point(self, number: int | None) -> None:
        """Say what stands at this point; None: nothing."""
        if self.plot is None:
            return
        if number is None:
            self.plot.reading.unread()
        else:
            self.plot.reading.read_end(number)

    # -- looking closer -----------------------------------------------------------------------

    def show_all(self) -> None:
        """Neither zoomed nor moved."""
        if self.plot is not None:
            self.plot.show_all()

    # What is connected are methods: Qt holds on to whatever else is, and with it to the view.
    def _nearer(self) -> None:
        if self.plot is not None:
            self.plot.zoom(nearer=True)

    def _further(self) -> None:
        if self.plot is not None:
            self.plot.zoom(nearer=False)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The keys for what the hand does to a plot."""
        if self.plot is None or not self._press(self.plot, event):
            super().keyPressEvent(event)

    def _press(self, plot: Plot, event: QKeyEvent) -> bool:
        key = event.key()
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        if key in (Qt.Key.Key_Plus, Qt.Key.Key_Equal):
            plot.zoom(nearer=True)
        elif key == Qt.Key.Key_Minus:
            plot.zoom(nearer=False)
        elif key == Qt.Key.Key_0:
            plot.show_all()
        elif key == Qt.Key.Key_Home:
            plot.reading.read_end(0)
        elif key == Qt.Key.Key_End:
            plot.reading.read_end(-1)
        elif key == Qt.Key.Key_Escape and plot.reading.out.words:
            plot.reading.unread()
        elif key in _WAYS and shift:
            plot.move_by(*_WAYS[Qt.Key(key)])
        elif key in _STEPS:
            plot.reading.step(_STEPS[Qt.Key(key)])
        else:
            return False
        return True

    def contextMenuEvent(self, event: QEvent) -> None:
        """What can be done with the chart."""
        self.menu.popup(event.globalPos())  # type: ignore[attr-defined]

    # -- taking it away -----------------------------------------------------------------------

    def copy_picture(self) -> None:
        """Put it on the clipboard, as a picture and as a drawing."""
        put_picture(self.picture(), self.svg())

    def _ask_png(self) -> None:
        self._ask("Save the chart", "png", "Pictures (*.png)", self.save_png)

    def _ask_svg(self) -> None:
        self._ask("Save the chart", "svg", "Drawings (*.svg)", self.save_svg)

    def _ask_csv(self) -> None:
        self._ask("Save the figures", "csv", "Tables (*.csv)", self.save_csv)

    def _ask(self, title: str, suffix: str, kinds: str, save: Callable[[Path], None]) -> None:
        table = self._table()
        name = dialogs.file_name(*self.about, table.name if table else "chart", suffix=suffix)
        path = dialogs.ask_file(self, title, name, kinds)
        if path is None:
            return
        try:
            save(path)
            self.status.say()
            dialogs.WRITTEN.told.emit(path)
        except OSError as error:
            self.status.say(f"It could not be written: {error}")

    def save_png(self, path: Path) -> None:
        """Write it as a picture. Raises ``OSError`` where that is not possible."""
        room = QBuffer()
        room.open(QIODevice.OpenModeFlag.WriteOnly)
        self.picture().save(room, "PNG")
        linesim.files.write_bytes(path, bytes(room.data().data()))

    def save_svg(self, path: Path) -> None:
        """Write it as a drawing. Raises ``OSError`` where that is not possible."""
        linesim.files.write_bytes(path, self.svg())

    def save_csv(self, path: Path) -> None:
        """Write its figures as a table. Raises ``OSError`` where that is not possible."""
        table = self._table()
        if table is not None:
            linesim.files.write_text(path, linesim.report.table_csv(table))

    def picture(self) -> QImage:
        """The chart as a picture."""
        size = self._paper_size()
        image = QImage(size * _SHARPNESS, QImage.Format.Format_RGB32)
        image.setDevicePixelRatio(_SHARPNESS)
        image.fill(QColor(LIGHT.ground))
        painter = QPainter(image)
        self.print_into(painter, QRectF(0, 0, size.width(), size.height()))
        painter.end()
        return image

    def svg(self) -> bytes:
        """The chart as SVG."""
        from PySide6.QtSvg import QSvgGenerator

        size = self._paper_size()
        room = QBuffer()
        room.open(QIODevice.OpenModeFlag.WriteOnly)
        maker = QSvgGenerator()
        maker.setOutputDevice(room)
        maker.setSize(size)
        maker.setViewBox(QRectF(0, 0, size.width(), size.height()))
        maker.setTitle(self.accessibleName())
        maker.setDescription(self.source)
        painter = QPainter(maker)
        self.print_into(painter, QRectF(0, 0, size.width(), size.height()))
        painter.end()
        return bytes(room.data().data())

    def _paper_size(self) -> QSize:
        return _PICTURE.expandedTo(QSize(0, self.minimumHeight() + 40))

    def print_into(self, painter: QPainter, room: QRectF) -> None:
        """Draw it for paper: in light colours, with its title and where its figures come from."""
        font = QFont(self.font())
        # In points it would grow with the sharpness of the printer.
        font.setPixelSize(QFontInfo(font).pixelSize())
        bold = QFont(font)
        bold.setBold(True)
        inner = room.adjusted(NEAR, CLOSE, -NEAR, -CLOSE)
        painter.setPen(QColor(LIGHT.text))
        for words, letters in ((self.title.text(), bold), (self.caption.text(), font)):
            if words:
                taken = _write(painter, inner, letters, words)
                inner.setTop(inner.top() + taken + CLOSE)
        if self.source:
            high = QFontMetricsF(font).boundingRect(inner, _WRAP, self.source).height()
            foot = QRectF(inner)
            foot.setTop(inner.bottom() - high)
            _write(painter, foot, font, self.source)
            inner.setBottom(foot.top() - CLOSE)
        if self._draw is None:
            return
        plot = self._new_plot()
        plot.hide()
        plot.resize(inner.size().toSize())
        sharpness = painter.deviceTransform().m11()
        plot.show_chart(self._kind, self._draw, LIGHT, font, sharpness=sharpness)
        plot.print_into(painter, inner)
        plot.deleteLater()


def _write(painter: QPainter, room: QRectF, font: QFont, words: str) -> float:
    painter.setFont(font)
    painter.drawText(room, _WRAP, words)
    return float(QFontMetricsF(font).boundingRect(room, _WRAP, words).height())
