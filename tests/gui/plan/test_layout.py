"""Parts of the drawing have room for their names."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QFont, QFontMetricsF
from PySide6.QtWidgets import QApplication

import linesim
from gui.plan.layout import PlanLayout


@pytest.mark.parametrize("demo", ["full-pallets", "two-wrappers", "orders"])
@pytest.mark.parametrize("width", [600, 1000])
def test_names_of_stations_do_not_run_into_each_other(
    qapp: QApplication, demo: str, width: int
) -> None:
    scenario = linesim.scenario.load(linesim.scenario.find_scenario(demo))
    layout = PlanLayout.for_line(scenario, width, 220)
    font = QFont(QApplication.font())
    font.setPixelSize(layout.text_px - 1)
    font.setBold(True)
    metrics = QFontMetricsF(font)
    only = scenario.wrapper[0].name if len(scenario.wrapper) == 1 else "wrappers"
    for name, column in layout.columns.items():
        for word in (only if name == "wrappers" else name).split("_"):
            assert metrics.horizontalAdvance(word) <= column.width(), (name, layout.text_px)
    assert sum(column.width() for column in layout.columns.values()) <= width
