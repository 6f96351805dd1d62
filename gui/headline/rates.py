"""Rated and net rates of the stations side by side: a V around what is slowest."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

import linesim
from gui.charts import ChartWidget
from gui.shift import connect_weakly
from linesim.report import rate_bars

if TYPE_CHECKING:
    from gui.shift import ShownShift
    from linesim.report import RateBar

_TITLE = "What each station could make, rated and net of its own stops"


class VView(ChartWidget):
    """A column for each station: outlined to its rated speed, filled to its net rate."""

    least_lines = 21.0
    """Its words below take several lines where the names of stations are long."""

    def __init__(self, shown: ShownShift, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = shown
        self.bars: tuple[RateBar, ...] = ()
        self.before: tuple[RateBar, ...] = ()
        """The same of the line before a change; none where its rates were the same."""
        connect_weakly(shown.record_changed, self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show the rates of the line on screen."""
        record, ghost = self._shown.record, self._shown.ghost
        self.bars = () if record is None else rate_bars(record.scenario)
        before = () if ghost is None else rate_bars(ghost.scenario)
        self.before = () if before == self.bars else before
        self.source = "" if record is None else record.scenario.line.name
        from gui.headline.columns import draw_rates, rate_words

        self.show_drawing(
            type(self),
            _TITLE,
            partial(draw_rates, bars=self.bars, before=self.before),
            self._figures_table,
            described="; ".join(rate_words(bar) for bar in self.bars) or "No run is shown.",
        )

    def _figures_table(self) -> linesim.report.AnswerTable:
        rated, net = (linesim.report.Column(what, "reams/min") for what in ("rated", "net"))
        return linesim.report.AnswerTable.of(
            "rates",
            _TITLE,
            self.bars,
            ("station", lambda bar: bar.station),
            (rated, lambda bar: bar.rated_reams_per_min),
            (net, lambda bar: bar.net_reams_per_min),
        )
