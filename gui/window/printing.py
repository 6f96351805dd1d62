"""The page about what is on screen, printed, as a PDF and as a picture."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QBuffer, QMarginsF
from PySide6.QtGui import QPageLayout, QPageSize, QPainter, QPdfWriter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter

import linesim
from gui import asking
from gui.window.paper import PAGE, Page, page_of, paint_page, picture_of
from gui.window.trouble import say_trouble

if TYPE_CHECKING:
    from gui.window.main_window import MainWindow

_DPI = 300
_MARGIN_MM = 12.0
_NOTHING = "There is nothing to be put on paper: no run is shown."


def ask_picture(window: MainWindow) -> None:
    """Ask where a picture of the page goes, and write it."""
    _ask(window, "Save a picture", "png", "PNG (*.png)", picture_bytes)


def ask_pdf(window: MainWindow) -> None:
    """Ask where the page goes as a PDF, and write it."""
    _ask(window, "Save as PDF", "pdf", "PDF (*.pdf)", pdf_bytes)


def _ask(
    window: MainWindow,
    title: str,
    suffix: str,
    kinds: str,
    made: Callable[[MainWindow, Page], bytes],
) -> None:
    page = page_of(window)
    if page is None:
        say_trouble(window, _NOTHING)
        return
    path = asking.file_for(window, title, f"{window.document.name}.{suffix}", kinds)
    if path is None:
        return
    try:
        linesim.write_bytes(path, made(window, page))
    except OSError as error:
        say_trouble(window, f"{path} could not be written: {error.strerror}.")


def picture_bytes(window: MainWindow, page: Page) -> bytes:
    """The page as PNG."""
    buffer = QBuffer()
    buffer.open(QBuffer.OpenModeFlag.WriteOnly)
    picture_of(page, window.font()).save(buffer, "PNG")
    return bytes(buffer.data().data())


def pdf_bytes(window: MainWindow, page: Page) -> bytes:
    """The page as PDF."""
    buffer = QBuffer()
    buffer.open(QBuffer.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setCreator("linesim")
    writer.setTitle(page.title)
    writer.setResolution(_DPI)
    writer.setPageLayout(_layout())
    _draw(window, page, writer)
    return bytes(buffer.data().data())


def ask_print(window: MainWindow) -> None:
    """Ask for a printer and print the page."""
    page = page_of(window)
    if page is None:
        say_trouble(window, _NOTHING)
        return
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setDocName(page.title)
    printer.setPageLayout(_layout())
    dialog = QPrintDialog(printer, window)
    if dialog.exec():
        _draw(window, page, printer)
    dialog.deleteLater()


def _layout() -> QPageLayout:
    margins = QMarginsF(_MARGIN_MM, _MARGIN_MM, _MARGIN_MM, _MARGIN_MM)
    return QPageLayout(
        QPageSize(QPageSize.PageSizeId.A4),
        QPageLayout.Orientation.Landscape,
        margins,
        QPageLayout.Unit.Millimeter,
    )


def _draw(window: MainWindow, page: Page, device: QPdfWriter | QPrinter) -> bool:
    painter = QPainter()
    if not painter.begin(device):
        return False
    room = device.pageLayout().paintRectPixels(device.resolution())
    scale = min(room.width() / PAGE.width(), room.height() / PAGE.height())
    painter.scale(scale, scale)
    paint_page(painter, page, window.font())
    return painter.end()
