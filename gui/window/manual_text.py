"""A chapter's text: pictures as wide as the lines, in the colours of the window; code set apart."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from PySide6.QtCore import QByteArray, QSize, Qt, QUrl, Signal
from PySide6.QtGui import (
    QColor,
    QImage,
    QPainter,
    QTextBlock,
    QTextBlockFormat,
    QTextCharFormat,
    QTextCursor,
    QTextDocument,
    QTextFormat,
    QTextTable,
)
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QTextBrowser, QWidget

from gui.look import FAR, NEAR, palette_of

_WIDEST = 70
"""Of a picture, in letters: what stands beside the list of chapters as the manual opens."""
_CODE = 0.85
"""Letters of code, as part of those of the text: their lines are a hundred letters long."""
_COMMAND = "sh"
_DARK = re.compile(r"@media \(prefers-color-scheme:dark\)\{(.*)\}(?=</style>)", re.DOTALL)


class ManualText(QTextBrowser):
    """Shows chapters of Markdown from a folder whose pictures they name, laid out one at a time."""

    leaving = Signal()
    """Another chapter is shown in a moment."""
    turned = Signal(int)
    """The number of the chapter that is shown now."""

    def __init__(self, folder: Path, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._folder = folder
        self._chapters: list[QTextDocument] = []
        self.setOpenLinks(False)

    def show_chapters(self, texts: Sequence[str]) -> None:
        """Read them, and show the first."""
        self._chapters = [self._read(each) for each in texts]
        self.setDocument(self._chapters[0])

    def documents(self) -> Sequence[QTextDocument]:
        """All chapters, in order."""
        return self._chapters

    def turn_to(self, document: QTextDocument) -> None:
        """Show a chapter; what was marked in the one before is no more."""
        if document != self.document():
            self.leaving.emit()
            self.setExtraSelections([])
            self.setDocument(document)
            self.turned.emit(self._chapters.index(document))

    def _read(self, markdown: str) -> QTextDocument:
        document = QTextDocument(self)
        document.setDefaultFont(self.font())
        document.setDocumentMargin(FAR)
        document.setMarkdown(markdown)
        cursor = QTextCursor(document)
        cursor.beginEditBlock()
        block, before = document.begin(), None
        while block.isValid():
            shape = block.blockFormat()
            # Of a command and what it says the kinds differ.
            kind = shape.property(QTextFormat.Property.BlockCodeLanguage)
            code = shape.hasProperty(QTextFormat.Property.BlockCodeFence)
            if code:
                self._set_apart(cursor, block, first=kind != before, folded=kind == _COMMAND)
            else:
                _underline_links(cursor, block)
            before = kind if code else None
            block = block.next()
        cursor.endEditBlock()
        for frame in document.rootFrame().childFrames():
            if isinstance(frame, QTextTable):
                lines = frame.format()
                lines.setBorderBrush(QColor(palette_of(self).grid))
                frame.setFormat(lines)
        return document

    def _set_apart(
        self, cursor: QTextCursor, block: QTextBlock, *, first: bool, folded: bool
    ) -> None:
        """A line of code: smaller, on a tint; the first of them away from what is above.

        One that is ``folded`` goes on below where it is too long; of others columns must stand.
        """
        shape, letters = QTextBlockFormat(), QTextCharFormat()
        shape.setBackground(QColor(palette_of(self).tint))
        if first:
            shape.setTopMargin(NEAR)
        if folded:
            shape.setNonBreakableLines(False)
        letters.setFontPointSize(self.font().pointSizeF() * _CODE)
        cursor.setPosition(block.position())
        cursor.movePosition(QTextCursor.MoveOperation.EndOfBlock, QTextCursor.MoveMode.KeepAnchor)
        cursor.mergeBlockFormat(shape)
        cursor.mergeCharFormat(letters)

    def loadResource(self, kind: int, name: QUrl) -> object:
        """Pictures; nothing else is named, and nothing is fetched from elsewhere."""
        file = (self._folder / name.path()).resolve()
        ours = not name.scheme() and file.is_relative_to(self._folder.resolve())
        if kind != QTextDocument.ResourceType.ImageResource.value or not ours or not file.is_file():
            return None
        return self._drawn(file) if file.suffix == ".svg" else self._fitting(QImage(str(file)))

    @property
    def _most(self) -> int:
        return self.fontMetrics().averageCharWidth() * _WIDEST

    def _fitting(self, image: QImage) -> QImage:
        if image.width() <= self._most:
            return image
        return image.scaledToWidth(self._most, Qt.TransformationMode.SmoothTransformation)

    def _drawn(self, file: Path) -> QImage:
        """A drawing; the rules for dark screens stand last in it, so that they hold there alone."""
        text = file.read_text(encoding="utf-8")
        dark = self.palette().base().color().lightnessF() < 0.5
        drawn = QSvgRenderer(QByteArray(_DARK.sub(r"\1" if dark else "", text).encode()))
        size = drawn.defaultSize().scaled(
            QSize(min(self._most, round(drawn.defaultSize().width() * 1.6)), 10_000),
            Qt.AspectRatioMode.KeepAspectRatio,
        )
        image = QImage(size, QImage.Format.Format_ARGB32_Premultiplied)
        image.fill(Qt.GlobalColor.transparent)
        painter = QPainter(image)
        drawn.render(painter)
        painter.end()
        return image


def _underline_links(cursor: QTextCursor, block: QTextBlock) -> None:
    """Not told from the words around them by their colour alone."""
    places, each = [], block.begin()
    while not each.atEnd():
        part = each.fragment()
        if part.charFormat().isAnchor():
            places.append((part.position(), part.length()))
        each += 1
    underlined = QTextCharFormat()
    underlined.setFontUnderline(True)
    for position, length in places:
        cursor.setPosition(position)
        cursor.setPosition(position + length, QTextCursor.MoveMode.KeepAnchor)
        cursor.mergeCharFormat(underlined)
