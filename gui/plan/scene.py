"""What every part of the drawing needs: painter, layout, colours, the moment and its labels."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QFontMetricsF, QPainter

if TYPE_CHECKING:
    from gui.look import Palette
    from gui.plan.layout import PlanLayout
    from linesim import Scenario
    from linesim.record import Moment
    from linesim.report import BesideLabels, MomentLabels

_WRAP = int(Qt.TextFlag.TextWordWrap)
_CENTRE = int(Qt.AlignmentFlag.AlignHCenter)


@dataclass(frozen=True)
class Scene:
    """One picture under way."""

    painter: QPainter
    layout: PlanLayout
    palette: Palette
    scenario: Scenario
    moment: Moment
    labels: MomentLabels
    other: Moment | None = None
    """The same moment of the run that this one is compared with."""
    beside: BesideLabels | None = None
    fonts: dict[tuple[bool, int], QFont] = field(default_factory=dict)
    """Fonts made so far, by weight and by how much smaller they are."""

    @property
    def flow_y(self) -> float:
        """The height at which sheets and reams move through the picture."""
        deck = self.layout.deck
        return deck.top() + 0.47 * deck.height()

    def font(self, *, bold: bool = False, smaller: int = 0) -> QFont:
        """The font of the picture."""
        key = (bold, smaller)
        if key not in self.fonts:
            font = QFont(self.painter.font())
            font.setPixelSize(self.layout.text_px - smaller)
            font.setBold(bold)
            self.fonts[key] = font
        return self.fonts[key]

    def width_of(self, text: str, *, bold: bool = False, smaller: int = 0) -> float:
        """Width of a text, px."""
        return QFontMetricsF(self.font(bold=bold, smaller=smaller)).horizontalAdvance(text)

    def write(
        self,
        area: QRectF,
        text: str,
        *,
        align: int = _CENTRE,
        bold: bool = False,
        quiet: bool = False,
        smaller: int = 0,
    ) -> QRectF:
        """Write text into an area, on several lines where it must; cut off with dots at the end.

        Returns the area that the letters take.
        """
        if not text:
            return QRectF()
        painter = self.painter
        painter.setFont(self.font(bold=bold, smaller=smaller))
        painter.setPen(QColor(self.palette.quiet) if quiet else QColor(self.palette.text))
        metrics = QFontMetricsF(painter.font())
        needed = metrics.boundingRect(area, align | _WRAP, text)
        if needed.height() > area.height() + 1:
            while len(text) > 4 and needed.height() > area.height():
                text = text[:-2].rstrip(" .…:") + "…"
                needed = metrics.boundingRect(area, align | _WRAP, text)
        painter.drawText(area, align | _WRAP, text)
        return QRectF(needed)

    def line(self, x1: float, y1: float, x2: float, y2: float) -> None:
        """A straight line with the pen that is set."""
        self.painter.drawLine(QPointF(x1, y1), QPointF(x2, y2))
