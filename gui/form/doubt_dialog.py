"""Asks between which ends a figure is known, and how."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

import linesim
from gui.document import Document, field_label
from gui.form.typed import shown, value_of
from gui.look import KEPT, PlainLabel, QuietLabel, label_of, plain_tip
from linesim.report import capital
from linesim.statistics import counted

_END_WIDTH_CH, _LEAST_WIDTH_CH = 11, 60
"""Of a line for an end, and of the whole, so that its title can be read."""


class DoubtDialog(QDialog):
    """The ends and the reason of the doubt of one figure; what a log says of it is only shown."""

    def __init__(
        self,
        document: Document,
        field: str,
        part: str,
        said: str,
        unit: str,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        owner = field_label(field, document.data).rpartition(": ")[0]
        self.named = PlainLabel(capital(": ".join(filter(None, (owner, said)))))
        self.setWindowTitle(self.named.text())
        self._document, self._figure = document, f"{field}.{part}" if part else field
        doubt = document.doubts(field).get(part)
        self._doubt: dict[str, Any] = dict(doubt or {})
        fields = linesim.scenario.doubt_fields()
        ends = self._doubt.get("between")
        ends = ends if isinstance(ends, list) else [ends]
        self.low, self.high = (self._line(ends[n] if n < len(ends) else None) for n in (0, 1))
        character = self.fontMetrics().averageCharWidth()
        self.setMinimumWidth(_LEAST_WIDTH_CH * character)
        for line, which in ((self.low, "lower end"), (self.high, "upper end")):
            line.setMaximumWidth(_END_WIDTH_CH * character)
            line.setAccessibleName(which)
            line.textChanged.connect(self._offer)
        self.why = self._line(self._doubt.get("why"))
        between = QHBoxLayout()
        for widget in (self.low, PlainLabel("–"), self.high, PlainLabel(unit)):
            between.addWidget(widget)
        between.addStretch(1)
        form = QFormLayout()
        form.addRow(label_of(self.low, capital(fields["between"].label)), between)
        form.addRow(label_of(self.why, capital(fields["why"].label)), self.why)
        self.origin = QuietLabel(origin_of(self._doubt))
        self.origin.setVisible(bool(self.origin.text()))
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        self.ok = buttons.button(QDialogButtonBox.StandardButton.Ok)
        self.remove = buttons.addButton("&Remove", QDialogButtonBox.ButtonRole.DestructiveRole)
        self.remove.setToolTip("Take the figure as known")
        self.remove.setVisible(doubt is not None)
        self.remove.clicked.connect(self._remove)
        buttons.accepted.connect(self._state)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addWidget(self.named)
        column.addLayout(form)
        column.addWidget(self.origin)
        column.addWidget(buttons)
        self.setToolTip(plain_tip(fields["between"].help))
        self._offer()
        self.low.selectAll()
        KEPT.window(self)

    def _line(self, value: Any) -> QLineEdit:
        line = QLineEdit(shown(value))
        line.setAcceptDrops(False)  # Files are the window's to open.
        return line

    def _offer(self) -> None:
        self.ok.setEnabled(bool(self.low.text().strip() and self.high.text().strip()))

    def _state(self) -> None:
        between = linesim.scenario.doubt_fields()["between"]
        ends = [end for line in (self.low, self.high) for end in value_of(line.text(), between)]
        stated = {**self._doubt, "between": ends, "why": self.why.text().strip()}
        if not stated["why"]:
            del stated["why"]
        self._document.set_doubt(self._figure, stated)
        self.accept()

    def _remove(self) -> None:
        self._document.set_doubt(self._figure, None)
        self.accept()


def origin_of(doubt: Mapping[str, Any]) -> str:
    """What a log says of a doubt, in words; empty where it is a judgement."""
    words = []
    stops, days, share = (doubt.get(key) for key in ("stops", "days", "correlation"))
    if isinstance(stops, int):
        words.append(counted(stops, "stop"))
    if days is not None:
        words.append(f"{shown(days)} days")
    if share is not None:
        words.append(f"{linesim.scenario.doubt_fields()['correlation'].label} {shown(share)}")
    return ", ".join(words)
