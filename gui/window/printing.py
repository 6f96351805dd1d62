"""The window on paper."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QBuffer, QMarginsF, QPoint
from PySide6.QtGui import QPageLayout, QPageSize, QPainter, QPdfWriter
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import QWidget

import linesim

_DPI = 150
_MARGIN_MM = 12.0


def save_pdf(widget: QWidget, path: Path) -> None:
    """Draw what the widget shows on one landscape page.

    Raises ``OSError`` where it cannot be written.
    """
    buffer = QBuffer()
    buffer.open(QBuffer.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setCreator("linesim")
    writer.setResolution(_DPI)
    writer.setPageLayout(_layout())
    _draw(widget, writer)
    linesim.write_bytes(path, buffer.data().data())


def print_window(widget: QWidget) -> None:
    """Ask for a printer and print what the widget shows."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setPageLayout(_layout())
    if QPrintDialog(printer, widget).exec():
        _draw(widget, printer)


def _layout() -> QPageLayout:
    margins = QMarginsF(_MARGIN_MM, _MARGIN_MM, _MARGIN_MM, _MARGIN_MM)
    return QPageLayout(
        QPageSize(QPageSize.PageSizeId.A4),
        QPageLayout.Orientation.Landscape,
        margins,
        QPageLayout.Unit.Millimeter,
    )


def _draw(widget: QWidget, device: QPdfWriter | QPrinter) -> bool:
    painter = QPainter()
    if not painter.begin(device):
        return False
    room = device.pageLayout().paintRectPixels(device.resolution())
    scale = min(room.width() / widget.width(), room.height() / widget.height())
    painter.scale(scale, scale)
    widget.render(painter, QPoint())
    return painter.end()
