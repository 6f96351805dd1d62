"""A curve as a person looks closer at it: pointed at, zoomed, moved, marked."""

from __future__ import annotations

from dataclasses import replace
from math import inf, nan

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication, QToolTip
from pytestqt.qtbot import QtBot

import linesim
from gui.look import DARK, LIGHT
from gui.pages.chart_curve import CurvePlot
from gui.pages.chart_frame import ChartMark
from gui.pages.chart_view import ChartView

PLACES, REAMS = (
    linesim.report.Column("places", "reams"),
    linesim.report.Column("good", "reams a week"),
)
FIGURES = {5: 18_000.0, 21: 20_000.0, 80: 21_000.0, 300: 21_500.0}
CURVE = linesim.report.Curve(
    "curve",
    "Good <reams>",
    PLACES,
    REAMS,
    tuple(
        linesim.report.CurvePoint(x, linesim.report.Figure(mean, 250.0), mean + 40)
        for x, mean in FIGURES.items()
    ),
    present=21,
    theory_name="closed form",
)
ANSWER = linesim.report.Answer("vary", "any", ("So.",), (), ("note",), charts=(CURVE,))


@pytest.fixture
def view(qtbot: QtBot) -> ChartView:
    made = ChartView()
    qtbot.addWidget(made)
    made.resize(800, 400)
    made.show_chart(CURVE, ANSWER)
    made.show()
    made.grab()
    return made


@pytest.fixture
def plot(view: ChartView) -> CurvePlot:
    assert view.plot is not None
    return view.plot


def shown(plot: CurvePlot) -> tuple[float, float]:
    """From where to where, as values of x."""
    box = plot._box.viewRect()
    return 10 ** box.left(), 10 ** box.right()


def wheel(plot: CurvePlot, spot: QPointF, turn: int) -> None:
    turned = QWheelEvent(
        spot,
        plot.viewport().mapToGlobal(spot),
        QPoint(),
        QPoint(0, turn),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(plot.viewport(), turned)


def test_pointed_at_it_says_figure_interval_and_unit(qtbot: QtBot, plot: CurvePlot) -> None:
    qtbot.mouseMove(plot.viewport(), plot.at(21, 19_000).toPoint())
    said = ["places 21: 20,000 ± 250 reams a week", "closed form: 20,040 reams a week"]
    assert QToolTip.text().split("\n") == said
    assert plot.words_at(plot.at(40, 20_000)) == ""
    assert plot.words_at(QPointF(2, 2)) == ""


def test_an_axis_that_spans_much_is_logarithmic_however_near(plot: CurvePlot) -> None:
    assert [round(end) for end in shown(plot)] == [4, 339]
    for _ in range(9):
        wheel(plot, plot.at(25, 20_000), 120)
    low, high = shown(plot)
    assert 20 < low < 25 < high < 30
    box = plot._box.viewRect()
    ((_, places),) = plot._across.tickValues(box.left(), box.right(), plot.width())
    numbers = [float(text) for text in plot._across.tickStrings(places, 1.0, 0.0)]
    assert len(numbers) > 2
    assert numbers == pytest.approx([10**place for place in places])
    plot.show_all()
    assert [round(end) for end in shown(plot)] == [4, 339]


def test_the_keys_do_what_the_hand_does(qtbot: QtBot, view: ChartView, plot: CurvePlot) -> None:
    whole = shown(plot)
    qtbot.keyClick(view, Qt.Key.Key_Plus)
    near = shown(plot)
    assert whole[0] < near[0] < near[1] < whole[1]
    qtbot.keyClick(view, Qt.Key.Key_Right)
    assert shown(plot)[0] > near[0]
    # More points come, and where one looks stays; another curve is shown whole.
    before = shown(plot)
    view.show_chart(replace(CURVE, points=CURVE.points[:1] + CURVE.points[2:]), ANSWER)
    assert shown(plot) == before
    view.show_chart(replace(CURVE, title="another"), ANSWER)
    assert shown(plot) == pytest.approx(whole)
    for _ in range(60):
        qtbot.keyClick(view, Qt.Key.Key_Minus)
        qtbot.keyClick(view, Qt.Key.Key_Left)
    assert shown(plot)[0] > 0
    qtbot.keyClick(view, Qt.Key.Key_0)
    assert shown(plot) == pytest.approx(whole)


def test_a_curve_that_comes_leaves_the_mark_under_the_hand(
    qtbot: QtBot, view: ChartView, plot: CurvePlot
) -> None:
    view.show_mark(ChartMark(80, "80 places", (80,)))
    view.grab()
    hand, found = plot.viewport(), []
    view.dragged.connect(found.append)
    spots = [plot.at(x, 19_000).toPoint() for x in (80, 50, 21)]
    qtbot.mouseMove(hand, spots[0])
    qtbot.mousePress(hand, Qt.MouseButton.LeftButton, pos=spots[0])
    qtbot.wait(15)
    qtbot.mouseMove(hand, spots[1])
    view.show_chart(replace(CURVE, points=CURVE.points[:1] + CURVE.points[2:]), ANSWER)
    view.show_mark(ChartMark(50, "50 places", (21, 80)))
    view.grab()
    at = plot.at(21, 19_000).toPoint()
    qtbot.wait(15)
    qtbot.mouseMove(hand, at)
    qtbot.mouseRelease(hand, Qt.MouseButton.LeftButton, pos=at)
    assert found[0] == pytest.approx(50, rel=0.02)
    assert found[-1] == pytest.approx(21, rel=0.03)


def test_it_is_drawn_in_the_colours_of_its_window(view: ChartView, plot: CurvePlot) -> None:
    def colours() -> set[str]:
        drawn = plot.grab().toImage()
        return {
            drawn.pixelColor(x, y).name()
            for x in range(0, drawn.width(), 3)
            for y in range(drawn.height() // 4, drawn.height(), 3)
        }

    assert {LIGHT.ground, LIGHT.curve} <= colours()
    look = view.palette()
    look.setColor(look.ColorRole.Window, DARK.ground)
    view.setPalette(look)
    assert {DARK.ground, DARK.curve} <= colours()
    assert LIGHT.ground not in colours()


@pytest.mark.parametrize("half", [inf, nan, 0.0])
def test_an_interval_without_end_is_drawn(view: ChartView, half: float) -> None:
    points = tuple(linesim.report.CurvePoint(x, linesim.report.Figure(20.0, half)) for x in (1, 2))
    view.show_chart(replace(CURVE, points=(*points, linesim.report.CurvePoint(3, None))), ANSWER)
    view.show_mark(ChartMark(2, "2 places", (2,)))
    view.grab()
    assert b"Good" in view.svg()


def test_a_plot_that_is_no_longer_asked_for_goes(qtbot: QtBot, view: ChartView) -> None:
    view.svg()
    bars = linesim.report.Bars(
        "bars", "Bars", PLACES, REAMS, (linesim.report.Bar("one", linesim.report.Figure(1, 1)),)
    )
    view.show_chart(bars, ANSWER)
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert view.findChildren(CurvePlot) == []
    view.grab()


def test_both_parts_of_an_interval_are_told_whole_in_a_narrow_view(view: ChartView) -> None:
    doubted = tuple(
        point._replace(figure=point.figure._replace(doubt=900.0))
        for point in CURVE.points
        if point.figure is not None
    )
    view.resize(440, 400)
    longest = "paired difference, same random numbers"
    view.show_chart(replace(CURVE, points=doubted, of=longest), ANSWER)
    view.grab()
    assert view.plot is not None
    assert view.plot._keys is not None
    labels = [label for _, label in view.plot._keys.items]
    told = " ".join(label.text for label in labels)
    assert "inner band: chance" in told
    assert "outer band: with what is not known" in told
    right = view.plot.width()
    assert all(label.mapRectToScene(label.itemRect()).right() <= right for label in labels)
