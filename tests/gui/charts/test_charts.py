"""Bars, maps and single values: what each says, what is drawn of it, and odd figures."""

from __future__ import annotations

import csv
import datetime as dt
import io
from itertools import pairwise
from math import inf, nan

import pytest
from PySide6.QtCore import QPoint, QPointF, QRectF, Qt
from PySide6.QtGui import QContextMenuEvent, QFont, QFontMetricsF
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

import linesim
from gui.charts import ChartView
from gui.charts.plot import Plot
from gui.charts.shapes import Box, Shapes, Stroke, words_in
from linesim.report import (
    Bar,
    Bars,
    Chart,
    Column,
    Curve,
    CurvePoint,
    Figure,
    Map,
    Scatter,
    Tornado,
    TornadoBar,
)

REAMS, PLACES = Column("good", "reams a week"), Column("places")
ANSWER = linesim.report.Answer("vary", "any", ("So.",), (), ("note",), facts={"replications": 4})
BARS = Bars(
    "bars",
    "What each brings",
    Column("change"),
    REAMS,
    (
        Bar("a longer bridge", Figure(1200.0, 80.0)),
        Bar("a faster <wrapper>", Figure(30.0, 90.0, False)),
        Bar("a new line", None),
    ),
)
MAP = Map(
    "map",
    "Both",
    Column("bridge"),
    Column("speed"),
    REAMS,
    (10, 20),
    (150, 160, 170),
    tuple(tuple(Figure(100.0 * i + j, 5.0) for j in range(3)) for i in range(2)),
    present=(20, 150),
    best=(20, 170),
)
SCATTER = Scatter(
    "points",
    "Each as it came",
    Column("meter", "h"),
    Column("interval", "h"),
    ((0.0, 0.0), (10.0, 1.0)),
    "No change is shown.",
    "interval",
    cut_off=((12.0, 0.5),),
    cut_off_name="still running",
    y_ticks=(),
    values=((0.0, 1.0), (10.0, 10.0), (12.0, 3.2)),
)


@pytest.fixture
def view(qtbot: QtBot) -> ChartView:
    made = ChartView()
    qtbot.addWidget(made)
    made.resize(700, 400)
    return made


def shown(view: ChartView, chart: Chart) -> Plot:
    view.show_chart(chart, ANSWER)
    view.show()
    view.grab()
    assert view.plot is not None
    return view.plot


def said(plot: Plot) -> list[str]:
    return [spot.words for spot in plot.reading.spots]


def shapes(plot: Plot, kind: type) -> list[Box | Stroke]:
    (item,) = (item for item in plot._items if isinstance(item, Shapes))
    return [shape for shape in item.shapes if isinstance(shape, kind)]


def test_bars_are_hollow_where_nothing_is_shown_and_say_their_figures(view: ChartView) -> None:
    plot = shown(view, BARS)
    assert said(plot) == [
        "a longer bridge: 1,200 ± 80 reams a week",
        "a faster <wrapper>: ~ 30 ± 90 reams a week",
        "a new line: not run",
    ]
    boxes = shapes(plot, Box)
    assert [box.fill is not None for box in boxes] == [True, False]
    whiskers = [s for s in shapes(plot, Stroke) if s.end_px]
    ends = [[round(plot.across.value(x), 6) for x in (s.x1, s.x2)] for s in whiskers]
    assert ends == [[1120, 1280], [-60, 120]]
    # All of a row speaks for its bar, names and figures to both sides too.
    middle = plot.on_widget(plot.reading.spots[1].place)
    assert [plot.reading.spot_at(QPointF(x, middle.y())) for x in (3, 300, plot.width() - 3)] == [
        1
    ] * 3
    # Rows stay as high as they are.
    plot.zoom(nearer=True)
    assert plot.box.viewRect().height() == 1
    assert plot.box.viewRect().width() < 1


def test_whiskers_are_no_hairlines_on_a_screen_of_many_dots(
    view: ChartView, monkeypatch: pytest.MonkeyPatch
) -> None:
    widths = []
    for dots in 1.0, 2.0:
        monkeypatch.setattr(Plot, "devicePixelRatioF", lambda _, dots=dots: dots)
        whisker = next(s for s in shapes(shown(view, BARS), Stroke) if s.end_px)
        widths.append(whisker.line.widthF())
    assert widths[1] == 2 * widths[0]


def test_bands_of_orders_are_dates_with_their_due_marks(view: ChartView) -> None:
    monday = dt.datetime(2026, 3, 2, 6)
    orders = (Bar("A4", Figure(10.0, 1.5), 12.0), Bar("A3", Figure(42.0, 1.0), 40.0))
    week = Bars(
        "done", "Done", Column("order"), Column("done", "h"), orders, "due", True, starts=monday
    )
    plot = shown(view, week)
    assert said(plot) == [
        "A4: Mon 2 Mar 14:30 to 17:30,\ndue Mon 2 Mar 18:00",
        "A3: Tue 3 Mar 23:00 to Wed 4 Mar 01:00,\ndue Tue 3 Mar 22:00",
    ]
    (axis,) = (axis for axis in plot._axes if axis.orientation == "top")
    ((_, places),) = axis.tickValues(0.0, 1.0, 600.0)
    midnights = [plot.across.value(at) for at in places][:: len(places) // 2]
    assert "Tue 3 Mar" in axis.tickStrings(places, 1.0, 0.0)
    assert all((at + 6) % 6 == pytest.approx(0, abs=1e-6) for at in midnights)


def test_dates_stand_beside_every_bar_however_low_the_chart_is(view: ChartView) -> None:
    orders = tuple(Bar(f"A{n}", Figure(10.0 * n, 1.5), 12.0 * n) for n in range(1, 7))
    monday = dt.datetime(2026, 3, 2, 6)
    week = Bars(
        "done", "Done", Column("order"), Column("done", "h"), orders, "due", True, starts=monday
    )
    shown(view, week)
    view.resize(700, view.minimumHeight())
    plot = shown(view, week)
    (axis,) = (axis for axis in plot._axes if axis.orientation == "right")
    ((_, places),) = axis.tickValues(0.0, 1.0, axis.height())
    assert len(places) == len(orders)


def test_a_bar_of_which_nothing_is_known_has_no_ends(view: ChartView) -> None:
    bars = (Bar("a", Figure(3.0, inf)), Bar("b", Figure(5.0, nan)), Bar("c", Figure(1.0, 0.5)))
    plot = shown(view, BARS.__class__("b", "B", PLACES, REAMS, bars))
    beyond = [s for s in shapes(plot, Stroke) if s.end_px and (s.x1 < -1 and s.x2 > 2)]
    assert len(beyond) == 2
    assert len(said(plot)) == 3


def test_forty_bars_with_long_names_have_a_row_each(view: ChartView) -> None:
    name = "the wrapper jams half as often and is put right in half of the time"
    many = tuple(Bar(f"{n} {name}", Figure(100.0 * n, 40.0)) for n in range(40))
    plot = shown(view, Bars("many", "Many", PLACES, REAMS, many))
    assert view.minimumHeight() > 40 * view.fontMetrics().height()
    left = next(axis for axis in plot._axes if axis.orientation == "left")
    assert left.width() < plot.width() / 2
    ((_, places),) = left.tickValues(0, 1, plot.box.height())
    assert len(places) == 40
    assert plot.reading.spots[7].words.startswith(f"7 {name}: 700 ± 40")


def test_long_names_of_few_bars_stand_whole(view: ChartView) -> None:
    name = "the wrapper jams half as often and is put right in half of the time"
    few = tuple(Bar(f"{n} {name}", Figure(100.0 * n, 40.0)) for n in range(3))
    plot = shown(view, Bars("few", "Few", PLACES, REAMS, few))
    left = next(axis for axis in plot._axes if axis.orientation == "left")
    ((_, places),) = left.tickValues(0, 1, plot.box.height())
    words = left.tickStrings(places, 1, 0)
    assert [" ".join(each.split()) for each in words] == [bar.label for bar in reversed(few)]
    assert left.width() < plot.width() / 2


def test_a_map_marks_now_and_best_and_is_read_cell_by_cell(qtbot: QtBot, view: ChartView) -> None:
    plot = shown(view, MAP)
    assert said(plot)[3] == "bridge 20, speed 150: 100 ± 5 reams a week (now)"
    assert said(plot)[5].endswith("(best)")
    boxes = shapes(plot, Box)
    assert sorted(box.corner for box in boxes if box.corner) == ["best", "now"]
    weights = [box.fill.color().alpha() for box in boxes if box.fill is not None]
    assert min(weights) < max(weights)
    box = plot.reading.spots[4].box
    assert box is not None
    at = plot.on_widget(box.center()).toPoint()
    qtbot.mouseClick(plot.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert plot.reading.out.words == said(plot)[4]
    # It is still held when the pointer has gone, and the keys go on from there.
    qtbot.mouseMove(plot.viewport(), QPoint(1, 1))
    assert plot.reading.out.words == said(plot)[4]
    qtbot.keyClick(view, Qt.Key.Key_Right)
    assert plot.reading.out.words == said(plot)[5]


def test_a_low_cell_of_a_map_says_that_it_is_the_best(qtbot: QtBot) -> None:
    metrics = QFontMetricsF(QFont())
    whole, short = "16,000 ± 5,000", "16,000"
    box = Box(QRectF(), words=(whole, short), corner="best")
    wide, high = metrics.horizontalAdvance(whole) + 10, metrics.height()
    assert words_in(box, QRectF(0, 0, wide, 4 * high), metrics) == (whole, "best")
    assert words_in(box, QRectF(0, 0, wide, 1.5 * high), metrics) == (f"best: {short}", "")
    narrow = metrics.horizontalAdvance(short) + 5
    assert words_in(box, QRectF(0, 0, narrow, 1.5 * high), metrics) == (short, "")


def test_the_mark_beside_a_band_has_its_key(view: ChartView) -> None:
    bars = (Bar("A4", Figure(10, 1), 12.0), Bar("A3", Figure(20, 2), None))
    chart = Bars(
        "b", "T", Column("order"), Column("done", "h"), bars, theory_name="due", bands=True
    )
    plot = shown(view, chart)
    assert plot.keys is not None
    assert [(key.words, key.shape) for key in plot.keys.keys] == [("due", "upright")]


def test_a_tornado_hatches_what_is_assumed_and_has_a_line_at_now(view: ChartView) -> None:
    bars = (
        TornadoBar("value of a ream", "1 to 3", -500.0, 1500.0),
        TornadoBar("wages", "20 to 30", 700.0, 300.0, assumed=True),
    )
    plot = shown(view, Tornado("t", "T", Column("present value", "k"), 500.0, bars))
    first, second = shapes(plot, Box)
    ends = [round(plot.across.value(x), 6) for x in (second.area.left(), second.area.right())]
    assert ends == [300, 700]
    assert first.fill.style() != second.fill.style() == Qt.BrushStyle.BDiagPattern
    lines = [round(plot.across.value(s.x1), 6) for s in shapes(plot, Stroke)]
    assert lines == [0, 500]
    assert said(plot)[1].endswith("present value: 700 k at the low end, 300 k at the high end")
    assert plot.keys is not None
    assert any("assumed" in key.words for key in plot.keys.keys)


def test_a_single_value_is_told_in_its_units(view: ChartView) -> None:
    plot = shown(view, SCATTER)
    assert said(plot) == [
        "interval\nmeter: 0 h\ninterval: 1 h",
        "interval\nmeter: 10 h\ninterval: 10 h",
        "still running\nmeter: 12 h\ninterval: 3.2 h",
    ]
    for n, spot in enumerate(plot.reading.spots):
        assert plot.reading.spot_at(plot.on_widget(spot.place) + QPointF(3, 2)) == n
    assert view.caption.text() == SCATTER.caption


def test_a_line_without_points_is_read_place_by_place(view: ChartView) -> None:
    fan = Scatter(
        "fan",
        "Until ten",
        Column("time of day"),
        Column("good reams"),
        (),
        "By ten.",
        "",
        line=((0, 15006), (1, 15400)),
        line_name="as likely more as less",
        band=((0, 15006), (1, 15200), (1, 15500), (0, 15006)),
        band_name="8 of 10 cases",
        line_at=("21:00", "22:00"),
    )
    plot = shown(view, fan)
    assert said(plot)[-1] == (
        "22:00: 15,400 good reams, as likely more as less\n"
        "8 of 10 cases: 15,200 to 15,500 good reams"
    )
    # Nobody aims at a line: what is read is what stands above or below.
    there = plot.on_widget(plot.reading.spots[0].place) + QPointF(4, -60)
    assert plot.reading.spot_at(there) == 0
    table = linesim.report.chart_table(fan)
    assert [column.label for column in table.columns] == [
        "time of day",
        "as likely more as less",
        "8 of 10 cases, from",
        "8 of 10 cases, to",
    ]
    assert table.rows[1] == ("22:00", 15400, 15200, 15500)


def test_a_right_click_offers_to_look_closer_and_to_take_it_away(
    qtbot: QtBot, view: ChartView
) -> None:
    plot = shown(view, BARS)
    middle = plot.viewport().rect().center()
    opened: list[list[str]] = []

    def look() -> None:
        opened.append([action.text() for action in view.menu.actions()])
        view.menu.hide()

    view.menu.aboutToShow.connect(look)
    event = QContextMenuEvent(
        QContextMenuEvent.Reason.Mouse, middle, plot.viewport().mapToGlobal(middle)
    )
    QApplication.sendEvent(plot.viewport(), event)
    (offered,) = opened
    assert {"Back to all", "Copy picture", "Save as PNG…", "Save as SVG…"} <= set(offered)
    assert "Save figures as CSV…" in offered


def test_large_single_values_are_written_out(view: ChartView) -> None:
    far = Scatter("s", "S", PLACES, REAMS, ((2, 12_345.6),), "One.", "value")
    assert said(shown(view, far)) == ["value\nplaces: 2\ngood: 12,346 reams a week"]


@pytest.mark.parametrize(
    "chart",
    [
        Curve("c", "C", PLACES, REAMS, (CurvePoint(3, None),)),
        Bars("b", "B", PLACES, REAMS, ()),
        Map("m", "M", PLACES, PLACES, REAMS, (), (), ()),
        Scatter("s", "S", PLACES, REAMS, (), "None.", "value"),
    ],
    ids=lambda chart: chart.name,
)
def test_where_there_is_nothing_it_says_so(qtbot: QtBot, view: ChartView, chart: Chart) -> None:
    plot = shown(view, chart)
    assert plot.reading.spots == ()
    for key in (Qt.Key.Key_Right, Qt.Key.Key_End, Qt.Key.Key_Plus, Qt.Key.Key_0):
        qtbot.keyClick(view, key)
    assert len(plot._items) == 1
    assert not view.picture().isNull()


@pytest.mark.parametrize("times", [1e-13, 1.0, 1e13])
@pytest.mark.parametrize("points", [1, 3])
def test_huge_and_tiny_figures_have_their_numbers_on_both_axes(
    view: ChartView, times: float, points: int
) -> None:
    run = [CurvePoint(x * times, Figure(x * times, 0.1 * times)) for x in (1, 2, 3)[:points]]
    plot = shown(view, Curve("c", "C", PLACES, REAMS, tuple(run)))
    for axis in plot._axes:
        size = plot.box.height() if axis.orientation == "left" else plot.box.width()
        ((_, places),) = axis.tickValues(0, 1, size)
        texts = axis.tickStrings(places, 1.0, 0.0)
        assert 1 < len(set(texts)) == len(texts)
        assert all(one < other for one, other in pairwise(places))
    places = [spot.place for spot in plot.reading.spots]
    assert all(0 <= place.x() <= 1 and 0 <= place.y() <= 1 for place in places)


def test_the_figures_of_every_chart_can_be_saved_as_a_table(view: ChartView) -> None:
    def rows(chart: Chart) -> list[list[str]]:
        text = linesim.report.table_csv(linesim.report.chart_table(chart))
        return list(csv.reader(io.StringIO(text)))

    assert rows(BARS)[:2] == [
        ["change", "good [reams a week]", "good [reams a week] half width"],
        ["a longer bridge", "1200.0", "80.0"],
    ]
    assert rows(MAP)[4] == ["20", "150", "100.0", "5.0"]
    assert rows(SCATTER)[3] == ["12.0", "3.2", "still running"]
