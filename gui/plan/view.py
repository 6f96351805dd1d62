"""The drawing with its controls: play, pause, step, speed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QColor, QKeyEvent, QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from gui.look import (
    CLOSE,
    NEAR,
    RING,
    ElidedLabel,
    PlainLabel,
    draw_focus,
    palette_of,
    plain_tip,
    spaced,
)
from gui.plan.drawing import draw_plan
from gui.plan.player import SPEEDS, Player
from gui.shift import connect_weakly
from linesim.record import Moments
from linesim.report import beside_labels, describe_moment

if TYPE_CHECKING:
    from gui.shift import ShownShift
    from linesim import Record
    from linesim.record import Moment

_DESCRIBE_AFTER_MS = 250
"""A screen reader is told when the picture has come to rest, not thirty times a second."""

_LEAST = QSize(440, 250)


class PlanPicture(QWidget):
    """Paints the line at the cursor; holds the index over the run that is shown."""

    described = Signal(str)
    """The picture in words, which are other ones now."""

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self._record: Record | None = None
        self._moments: Moments | None = None
        self._ready: Moments | None = None
        self._ghost: Moments | None = None
        self.setMinimumSize(_LEAST)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.setAccessibleName("Drawing of the line")
        self._describe = QTimer(self)
        self._describe.setSingleShot(True)
        self._describe.setInterval(_DESCRIBE_AFTER_MS)
        self._describe.timeout.connect(self.describe)
        shown.add_preparation(self.prepare)
        connect_weakly(shown.record_changed, self._changed)
        connect_weakly(shown.cursor_moved, self._changed)
        self._changed()

    def moment(self) -> Moment | None:
        """What is drawn; None where no run is shown."""
        record = self._shown.record
        if record is not self._record:
            self._record, before = record, self._moments
            self._moments = self._index_of(record)
            self._ghost = before or self._ghost
        if self._moments is None or record is None:
            return None
        return self._moments.at(min(max(self._shown.cursor_ns, record.start_ns), record.end_ns))

    def other(self) -> Moment | None:
        """The same moment of the run this one is compared with; None where there is none."""
        ghost = self._shown.ghost
        self._ghost = self._index_of(ghost)
        if self._ghost is None or ghost is None:
            return None
        now = self._shown.cursor_ns
        return self._ghost.at(now) if ghost.start_ns <= now <= ghost.end_ns else None

    def _index_of(self, record: Record | None) -> Moments | None:
        """The index over a run: one that is at hand, else a new one; None without a history."""
        if record is None or record.history is None:
            return None
        for made in (self._moments, self._ghost, self._ready):
            if made is not None and made.record is record:
                return made
        return Moments(record)

    @property
    def beside(self) -> str:
        """Which run it is compared with."""
        return self._shown.ghost_title

    def prepare(self, record: Record, _ghost: Record | None) -> None:
        """Index a run that is about to be shown; in any thread."""
        if record.history is not None:
            self._ready = Moments(record)

    def describe(self) -> None:
        """Put the picture into words for who cannot see it."""
        moment, other = self.moment(), self.other()
        text = "No run is shown." if moment is None else describe_moment(moment)
        if moment is not None and other is not None:
            text += f" {beside_labels(moment, other, self.beside).sentence}"
        self.setAccessibleDescription(text)
        self.setToolTip(plain_tip(text))
        self.described.emit(text)

    def _changed(self, _moment_ns: int = 0) -> None:
        self.update()
        self._describe.start()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the moment of the cursor."""
        painter = QPainter(self)
        moment, palette = self.moment(), palette_of(self)
        if moment is None or self._record is None:
            painter.fillRect(self.rect(), QColor(palette.ground))
            painter.setPen(QColor(palette.text))
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, "No run is shown yet.")
        else:
            size = (float(self.width()), float(self.height()))
            scenario = self._record.scenario
            around = self.fontInfo().pixelSize()
            draw_plan(painter, size, scenario, moment, palette, self.other(), self.beside, around)
        painter.end()

    def changeEvent(self, event: QEvent) -> None:
        """Light and dark follow the system."""
        if event.type() == QEvent.Type.PaletteChange:
            self.update()
        super().changeEvent(event)


class PlanView(QWidget):
    """The line at the cursor, and the controls that play it.

    Keys, while it has the focus: space plays and pauses, left and right step a second, with shift
    a minute, + and - change the speed.
    """

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self.player = Player(shown, self)
        self.picture = PlanPicture(shown, self)
        # What has the keyboard is what a screen reader tells of.
        self.picture.described.connect(self.setAccessibleDescription)
        self.play_button = self._button("Play", "Play or pause (space)", self.player.toggle)
        self.back_button = self._button(
            "−1 s", "One second back (left; with shift a minute)", self.player.step_back
        )
        self.on_button = self._button(
            "+1 s", "One second on (right; with shift a minute)", self.player.step_on
        )
        self.speed_box = QComboBox(self)
        self.speed_box.setAccessibleName("Speed of playing")
        for speed in SPEEDS:
            self.speed_box.addItem(f"{speed} ×", speed)
        self.speed_box.setCurrentIndex(SPEEDS.index(self.player.speed))
        self.speed_box.currentIndexChanged.connect(self._speed_chosen)
        label = PlainLabel("S&peed", self)
        label.setBuddy(self.speed_box)
        bar = QHBoxLayout()
        bar.setContentsMargins(NEAR, CLOSE, NEAR, 0)
        for widget in (self.play_button, self.back_button, self.on_button, label, self.speed_box):
            bar.addWidget(widget)
        self.note = ElidedLabel("", self)
        self.note.setForegroundRole(QPalette.ColorRole.PlaceholderText)
        bar.addSpacing(NEAR)
        bar.addWidget(self.note, 1)
        column = QVBoxLayout(self)
        spaced(column, CLOSE, round(RING))
        column.addLayout(bar)
        column.addWidget(self.picture, 1)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("drawing of the line, played with space and the arrow keys")
        self.player.playing_changed.connect(self._playing)
        self.player.speed_changed.connect(self._speed_changed)
        connect_weakly(shown.record_changed, self._record_changed)
        self._record_changed()

    def _button(self, text: str, tip: str, act: object) -> QToolButton:
        button = QToolButton(self)
        button.setText(text)
        button.setToolTip(tip)
        button.setAccessibleName(text)
        button.clicked.connect(act)
        return button

    def _record_changed(self) -> None:
        shown = self._shown.record is not None
        ghost = (
            f"Thin lines: {self.picture.beside}, at the same moment with the same random numbers"
        )
        self.note.setText(ghost if self._shown.ghost is not None else "")
        self.note.setToolTip(plain_tip(self.note.text()))
        if not shown:
            self.player.pause()
        for widget in (self.play_button, self.back_button, self.on_button, self.speed_box):
            widget.setEnabled(shown)

    def _playing(self, playing: bool) -> None:
        self.play_button.setText("Pause" if playing else "Play")
        self.play_button.setAccessibleName(self.play_button.text())

    def _speed_changed(self, speed: int) -> None:
        self.speed_box.setCurrentIndex(SPEEDS.index(speed))

    def _speed_chosen(self, index: int) -> None:
        self.player.speed = SPEEDS[index]

    def paintEvent(self, event: QPaintEvent) -> None:
        """The ring of the focus; the picture draws itself."""
        draw_focus(self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Play, pause and step by keys."""
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        match event.key():
            case Qt.Key.Key_Space:
                self.player.toggle()
            case Qt.Key.Key_Left:
                self.player.step(-60 if shift else -1)
            case Qt.Key.Key_Right:
                self.player.step(60 if shift else 1)
            case Qt.Key.Key_Plus:
                self.player.faster()
            case Qt.Key.Key_Minus:
                self.player.faster(-1)
            case _:
                super().keyPressEvent(event)
