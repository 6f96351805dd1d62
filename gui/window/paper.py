"""A page about what is on screen, for printer, PDF and picture: words and drawings, no widgets.

It is in light colours whatever the window has, and says of itself what it is: which line, which
run or question, what its figures rest on, and what they must not be taken for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QImage, QPainter

import linesim
from gui.look import LIGHT
from gui.look.quiet import quiet_text
from gui.plan.drawing import draw_plan

if TYPE_CHECKING:
    from gui.look.drawn import Drawn
    from gui.pages import StudyPage
    from gui.window.main_window import MainWindow

PAGE = QSize(1120, 763)
"""Points of a page: as A4 on its side, within its margins."""
_SHARPNESS = 2.0
_TITLE_PX, _WORDS_PX, _FIGURE_PX, _SMALL_PX = 24, 13, 16, 11
_AROUND = 16
"""What a picture has around the page; a printer has its margins."""
_LOOK = replace(LIGHT, ground="#ffffff")
_GAP = 8.0
_WRAP = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop | Qt.TextFlag.TextWordWrap)

Draw = Callable[[QPainter, QSize], None]


@dataclass(frozen=True)
class Page:
    """What stands on it, top to bottom; ``drawings`` with the part of the height that each has."""

    title: str
    words: tuple[str, ...] = ()
    figures: tuple[tuple[str, str], ...] = ()
    basis: str = ""
    drawings: tuple[tuple[int, Draw], ...] = ()
    notes: tuple[str, ...] = ()


def page_of(window: MainWindow) -> Page | None:
    """The page about what the window shows; None where it shows no run and no answer."""
    from gui.headline.page import LossesPage
    from gui.pages import StudyPage

    shown = window.page_shown
    if isinstance(shown, StudyPage):
        answer = _answer_page(window, shown)
        if answer is not None:
            return answer
    record = window.shown.record
    if record is None:
        return None
    drawings: tuple[tuple[int, Draw], ...]
    words = [_run_words(record), *_state_words(window)]
    if isinstance(shown, LossesPage):
        drawings = tuple((1, _Print(part.drawn)) for part in (shown.losses, shown.rates))
    else:
        drawings = ((3, _Strip(window)), (2, _Plan(window)))
        words += _stop_words(window)
    said = linesim.glance(window.headline.now) if window.headline.now is not None else None
    figures = () if said is None else tuple((each.name, each.value) for each in said.figures)
    if said is not None:
        figures += (("holds the line", said.holds),)
    return Page(
        title=record.scenario.line.name or window.document.name,
        words=tuple(words),
        figures=figures,
        basis="" if said is None else f"{said.basis[:1].upper()}{said.basis[1:]}.",
        drawings=drawings,
        notes=_notes(window, invented=record.scenario.line.invented),
    )


def _answer_page(window: MainWindow, page: StudyPage) -> Page | None:
    answer, chart = page.answer_view.answer, page.answer_view.chart_view
    if answer is None:
        return None
    about = page.answered
    return Page(
        title=linesim.QUESTIONS[answer.study].title,
        words=(*answer.words, *page.doubts),
        drawings=((1, _Print(chart)),) if chart is not None else (),
        notes=_notes(window, invented=about is not None and about.line.invented),
    )


def _run_words(record: linesim.Record) -> str:
    return (
        f"One run of {record.hours:g} h of simulated time with luck no. {record.replication}, seed"
        f" {record.seed}."
    )


def _state_words(window: MainWindow) -> list[str]:
    document = window.document
    words = []
    if document.faults:
        words.append("The scenario has faults: this is its last run without.")
    elif document.dirty:
        words.append(f"{document.name} has changes that are not saved.")
    return words


def _stop_words(window: MainWindow) -> list[str]:
    page = window.shift_page
    looked_at = page.strip.canvas.window_of_time
    words = [page.told] if page.told else []
    if (looked_at.start_ns, looked_at.end_ns) != (looked_at.first_ns, looked_at.last_ns):
        start, end = (linesim.clock_words(t) for t in (looked_at.start_ns, looked_at.end_ns))
        words.append(f"The strip shows {start} to {end} of it.")
    return words


def _notes(window: MainWindow, *, invented: bool) -> tuple[str, ...]:
    file = window.document.path
    made = f"linesim {linesim.__version__}" + (f", from {file.name}" if file is not None else "")
    return (*linesim.CAUTIONS, *([linesim.INVENTED] if invented else []), f"{made}.")


# What is drawn -----------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Strip:
    window: MainWindow

    def __call__(self, painter: QPainter, size: QSize) -> None:
        picture = self.window.shift_page.strip.canvas.picture(size, _LOOK, _SHARPNESS)
        if picture is not None:
            picture.paint(painter)


@dataclass(frozen=True)
class _Plan:
    window: MainWindow

    def __call__(self, painter: QPainter, size: QSize) -> None:
        picture = self.window.shift_page.plan.picture
        moment, record = picture.moment(), self.window.shown.record
        if moment is None or record is None:
            return
        area = (float(size.width()), float(size.height()))
        draw_plan(painter, area, record.scenario, moment, _LOOK, picture.other(), picture.beside)


@dataclass(frozen=True)
class _Print:
    drawn: Drawn

    def __call__(self, painter: QPainter, size: QSize) -> None:
        self.drawn.print_into(painter, QRectF(0, 0, size.width(), size.height()))


# Painting ----------------------------------------------------------------------------------------


@dataclass
class _Column:
    """Words one below the other."""

    painter: QPainter
    font: QFont
    width: float
    y: float = 0.0
    fonts: dict[tuple[int, bool], QFont] = field(default_factory=dict)

    def sized(self, pixels: int, *, bold: bool = False) -> QFont:
        font = self.fonts.setdefault((pixels, bold), QFont(self.font))
        font.setPixelSize(pixels)
        font.setBold(bold)
        return font

    def height(self, words: str, pixels: int) -> float:
        """What the words need."""
        metrics = QFontMetricsF(self.sized(pixels))
        return metrics.boundingRect(QRectF(0, 0, self.width, 1e4), _WRAP, words).height()

    def write(self, words: str, pixels: int, *, bold: bool = False, quiet: bool = False) -> None:
        """Write words, and go on below them."""
        if not words:
            return
        font = self.sized(pixels, bold=bold)
        self.painter.setFont(font)
        self.painter.setPen(quiet_text(_LOOK) if quiet else QColor(_LOOK.text))
        area = QRectF(0, self.y, self.width, 1e4)
        taken = QFontMetricsF(font).boundingRect(area, _WRAP, words)
        self.painter.drawText(area, _WRAP, words)
        self.y += taken.height() + 2

    def write_figures(self, figures: tuple[tuple[str, str], ...]) -> None:
        """Figures beside each other, each under its name."""
        if not figures:
            return
        each = self.width / len(figures)
        high = 0.0
        for number, (name, value) in enumerate(figures):
            x, y = number * each, self.y + 4
            for words, pixels, quiet in ((name, _SMALL_PX, True), (value, _FIGURE_PX, False)):
                font = self.sized(pixels)
                self.painter.setFont(font)
                self.painter.setPen(quiet_text(_LOOK) if quiet else QColor(_LOOK.text))
                area = QRectF(x, y, each - _GAP, 1e4)
                self.painter.drawText(area, _WRAP, words)
                y += QFontMetricsF(font).boundingRect(area, _WRAP, words).height()
            high = max(high, y - self.y)
        self.y += high + 2


def paint_page(painter: QPainter, page: Page, font: QFont) -> None:
    """Paint it into an area of ``PAGE`` points with its corner at (0, 0)."""
    column = _Column(painter, font, float(PAGE.width()))
    column.write(page.title, _TITLE_PX, bold=True)
    column.write(" ".join(page.words), _WORDS_PX)
    column.write_figures(page.figures)
    column.write(page.basis, _SMALL_PX, quiet=True)
    notes = " ".join(page.notes)
    foot = PAGE.height() - column.height(notes, _SMALL_PX)
    room = foot - column.y - _GAP * (len(page.drawings) + 1)
    parts = sum(part for part, _ in page.drawings)
    top = column.y + _GAP
    for part, draw in page.drawings:
        size = QSize(PAGE.width(), int(room * part / parts))
        painter.save()
        painter.translate(0, top)
        painter.setClipRect(QRectF(0, 0, size.width(), size.height()))
        painter.setFont(column.sized(_WORDS_PX))
        draw(painter, size)
        painter.restore()
        top += size.height() + _GAP
    column.y = foot
    column.write(notes, _SMALL_PX, quiet=True)


def picture_of(page: Page, font: QFont) -> QImage:
    """The page as a picture."""
    around = QSize(2 * _AROUND, 2 * _AROUND)
    image = QImage((PAGE + around) * _SHARPNESS, QImage.Format.Format_RGB32)
    image.setDevicePixelRatio(_SHARPNESS)
    image.fill(QColor(_LOOK.ground))
    painter = QPainter(image)
    painter.translate(_AROUND, _AROUND)
    paint_page(painter, page, font)
    painter.end()
    return image
