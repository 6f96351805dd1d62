"""A curve as a person looks closer at it: pointed at, zoomed, moved, marked."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import inf, nan

import pytest
from pyqtgraph import InfiniteLine, ScatterPlotItem
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

import linesim
from gui.charts import ChartMark, ChartView
from gui.charts.plot import Plot
from gui.charts.shapes import Box, Shapes
from gui.look import DARK, LIGHT

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
def plot(view: ChartView) -> Plot:
    assert view.plot is not None
    return view.plot


def shown(plot: Plot) -> tuple[float, float]:
    """From where to where, as values of x."""
    box = plot.box.viewRect()
    return plot.across.value(box.left()), plot.across.value(box.right())


def wheel(
    plot: Plot, spot: QPointF, turn: int, keys: Qt.KeyboardModifier = Qt.KeyboardModifier.NoModifier
) -> bool:
    """Turn it there; whether the chart took it."""
    turned = QWheelEvent(
        spot,
        plot.viewport().mapToGlobal(spot),
        QPoint(),
        QPoint(0, turn),
        Qt.MouseButton.NoButton,
        keys,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(plot.viewport(), turned)
    return turned.isAccepted()


def test_pointed_at_it_says_figure_interval_and_unit(
    qtbot: QtBot, view: ChartView, plot: Plot
) -> None:
    qtbot.mouseMove(plot.viewport(), plot.at(23, 19_000).toPoint())
    said = ["places 21: 20,000 ± 250 reams a week", "closed form: 20,040 reams a week"]
    assert plot.reading.out.words.split("\n") == said
    assert view.accessibleDescription() == ", ".join(said)
    assert QRectF(plot.rect()).contains(plot.reading.out.frame)
    # Beside the plot nothing is pointed at.
    assert plot.reading.spot_at(QPointF(2, 2)) is None
    qtbot.mouseMove(plot.viewport(), QPoint(2, 2))
    assert plot.reading.out.words == ""
    # Who cannot see it is told all of it, and how to read on.
    for point in (5, 21, 80, 300):
        assert f"places {point}: " in view.accessibleDescription()
    assert ", ".join(said) in view.accessibleDescription()
    assert "Arrow keys" in view.accessibleDescription()


def test_arrow_keys_read_it_point_by_point(qtbot: QtBot, view: ChartView, plot: Plot) -> None:
    read = []
    for key in (Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_End, Qt.Key.Key_Left):
        qtbot.keyClick(view, key)
        read.append(plot.reading.out.words.split(":")[0])
        assert view.accessibleDescription().startswith(read[-1])
    assert read == ["places 5", "places 21", "places 300", "places 80"]
    # What is out of sight comes into it.
    for _ in range(8):
        qtbot.keyClick(view, Qt.Key.Key_Plus)
    qtbot.keyClick(view, Qt.Key.Key_Home)
    assert shown(plot)[0] < 5 < shown(plot)[1]
    qtbot.keyClick(view, Qt.Key.Key_Escape)
    assert plot.reading.out.words == ""


def test_the_wheel_scrolls_the_page_until_the_chart_is_wanted(
    qtbot: QtBot, view: ChartView, plot: Plot
) -> None:
    whole = shown(plot)
    view.clearFocus()
    assert not wheel(plot, plot.at(25, 20_000), 120)
    assert shown(plot) == whole
    assert wheel(plot, plot.at(25, 20_000), 120, Qt.KeyboardModifier.ControlModifier)
    assert shown(plot) != whole
    spot = plot.at(25, 20_000).toPoint()
    qtbot.mouseDClick(plot.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    assert shown(plot) == pytest.approx(whole)
    qtbot.mouseClick(plot.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    if view.hasFocus():
        assert wheel(plot, plot.at(25, 20_000), 120)


def test_an_axis_that_spans_much_is_logarithmic_however_near(plot: Plot) -> None:
    assert [round(end) for end in shown(plot)] == [4, 339]
    for _ in range(9):
        wheel(plot, plot.at(25, 20_000), 120, Qt.KeyboardModifier.ControlModifier)
    low, high = shown(plot)
    assert 20 < low < 25 < high < 30
    axis = next(each for each in plot._axes if each.orientation == "bottom")
    box = plot.box.viewRect()
    ((_, places),) = axis.tickValues(box.left(), box.right(), plot.width())
    numbers = [float(text) for text in axis.tickStrings(places, 1.0, 0.0)]
    assert len(numbers) > 2
    assert numbers == pytest.approx([plot.across.value(at) for at in places])
    plot.show_all()
    assert [round(end) for end in shown(plot)] == [4, 339]


def test_the_keys_do_what_the_hand_does(qtbot: QtBot, view: ChartView, plot: Plot) -> None:
    shift = Qt.KeyboardModifier.ShiftModifier
    whole = shown(plot)
    qtbot.keyClick(view, Qt.Key.Key_Plus)
    near = shown(plot)
    assert whole[0] < near[0] < near[1] < whole[1]
    qtbot.keyClick(view, Qt.Key.Key_Right, shift)
    assert shown(plot)[0] > near[0]
    # More points come, and where one looks stays; another curve is shown whole.
    before = shown(plot)
    view.show_chart(replace(CURVE, points=CURVE.points[:1] + CURVE.points[2:]), ANSWER)
    assert shown(plot) == pytest.approx(before)
    view.show_chart(replace(CURVE, title="another"), ANSWER)
    assert shown(plot) == pytest.approx(whole)
    for _ in range(60):
        qtbot.keyClick(view, Qt.Key.Key_Minus)
        qtbot.keyClick(view, Qt.Key.Key_Left, shift)
    assert shown(plot)[0] > 0
    qtbot.keyClick(view, Qt.Key.Key_0)
    assert shown(plot) == pytest.approx(whole)


def test_a_curve_that_comes_leaves_the_mark_under_the_hand(
    qtbot: QtBot, view: ChartView, plot: Plot
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


def test_it_takes_the_colours_of_its_window_at_once(view: ChartView, plot: Plot) -> None:
    def colours() -> set[str]:
        dots = [item for item in plot._items if isinstance(item, ScatterPlotItem)]
        grounds = {plot.backgroundBrush().color().name()}
        return grounds | {item.opts["pen"].color().name() for item in dots}

    assert {LIGHT.ground, LIGHT.curve} <= colours()
    look = view.palette()
    look.setColor(look.ColorRole.Window, DARK.ground)
    view.setPalette(look)
    assert {DARK.ground, DARK.curve} <= colours()
    assert LIGHT.ground not in colours()


@pytest.mark.parametrize(("present", "height"), [(5, 0.94), (300, 0.4)])
def test_now_stands_clear_of_the_curve(view: ChartView, present: float, height: float) -> None:
    view.show_chart(replace(CURVE, present=present), ANSWER)
    assert view.plot is not None
    (now,) = (item for item in view.plot._items if isinstance(item, InfiniteLine) and item.label)
    assert now.label.orthoPos == height


def test_the_mark_leaves_the_points_as_they_are_and_its_words_beside_the_curve(
    view: ChartView, plot: Plot
) -> None:
    """Hollow says that no difference is shown: none is made hollow by being chosen."""
    mark = plot._mark
    for x, beside in ((5, 0.72), (300, 0.14)):
        view.show_mark(ChartMark(x, f"{x} places", (x,)))
        assert mark._line is not None
        assert mark._line.label.orthoPos == beside
        (stroke,) = mark._rests
        dots = [item for item in plot._items if isinstance(item, ScatterPlotItem)]
        assert not isinstance(stroke, ScatterPlotItem)
        assert all(stroke.zValue() < dot.zValue() < mark._line.zValue() for dot in dots)


@pytest.mark.parametrize("half", [inf, nan, 0.0])
def test_an_interval_without_end_is_drawn(view: ChartView, half: float) -> None:
    points = tuple(linesim.report.CurvePoint(x, linesim.report.Figure(20.0, half)) for x in (1, 2))
    view.show_chart(replace(CURVE, points=(*points, linesim.report.CurvePoint(3, None))), ANSWER)
    view.show_mark(ChartMark(2, "2 places", (2,)))
    view.grab()
    assert b"Good" in view.svg()


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
    keys = view.plot.keys
    assert keys is not None
    told = " ".join(key.words for key in keys.keys)
    assert "inner band: chance" in told
    assert "outer band: with what is not known" in told
    assert all(place.right() <= view.plot.width() for place in keys.places)
    assert not any(one.intersects(other) for one, other in pairwise(keys.places))


@pytest.mark.parametrize(("best", "told"), [(5, "~ best: not shown"), (21, "best")])
def test_a_point_at_which_nothing_is_shown_is_hollow_and_no_sure_best(
    view: ChartView, best: float, told: str
) -> None:
    first, *others = CURVE.points
    assert first.figure is not None
    unsure = first._replace(figure=first.figure._replace(shown=False))
    view.show_chart(replace(CURVE, points=(unsure, *others), best=best), ANSWER)
    assert view.plot is not None
    assert view.plot.keys is not None
    keys = {key.words: key.line for key in view.plot.keys.keys}
    assert "hollow: no difference shown" in keys
    assert keys[told].color().name() == (LIGHT.quiet if best == 5 else LIGHT.curve)
    *dots, ring = (item for item in view.plot._items if isinstance(item, ScatterPlotItem))
    assert ring.opts["pen"].color() == keys[told].color()
    fills = {item.opts["brush"].color().name(): len(item.data) for item in dots}
    assert fills == {LIGHT.curve: 3, LIGHT.ground: 1}
    assert view.plot.reading.spots[0].words.startswith("places 5: ~ 18,000")


def test_what_pays_is_shaded_and_the_best_is_ringed(view: ChartView) -> None:
    view.show_chart(replace(CURVE, pays=((21, 80),), best=80.0, best_name="cheapest"), ANSWER)
    plot = view.plot
    assert plot is not None
    (shaded,) = (item for item in plot._items if isinstance(item, Shapes))
    (box,) = shaded.shapes
    assert isinstance(box, Box)
    ends = [plot.across.value(x) for x in (box.area.left(), box.area.right())]
    assert ends == pytest.approx([21, 80])
    # Along the foot: the curve is clear of it though all of it pays.
    assert 0 == box.area.top() < box.area.bottom() < 0.1
    assert [spot.words.split("\n")[2:] for spot in plot.reading.spots] == [
        [],
        ["pays"],
        ["cheapest", "pays"],
        [],
    ]
    assert plot.keys is not None
    assert {"pays", "cheapest"} <= {key.words for key in plot.keys.keys}


def test_gains_not_shown_are_seen_to_reach_below_nothing(view: ChartView) -> None:
    gains = replace(CURVE, points=_points({5: 900.0, 21: 500.0}, 1200.0), gain="as it is now")
    view.show_chart(gains, ANSWER)
    assert view.plot is not None
    assert view.plot.up.low <= -700
    view.show_chart(replace(gains, gain=""), ANSWER)
    assert view.plot.up.low == 0


def _points(means: dict[int, float], half: float) -> tuple[linesim.report.CurvePoint, ...]:
    figures = {x: linesim.report.Figure(mean, half, shown=False) for x, mean in means.items()}
    return tuple(linesim.report.CurvePoint(x, figure) for x, figure in figures.items())
