"""What the strip draws, and that all of it has room: lanes, curves, legend, words."""

from __future__ import annotations

import itertools

import pytest
from PySide6.QtCore import QPoint
from PySide6.QtGui import QColor, QPainter, QPalette, QPicture
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

import linesim
from gui.charts.axes import NamedAxis
from gui.charts.shapes import Shapes, Stroke
from gui.look import DARK, LIGHT, Palette
from gui.shift import ShownShift
from gui.strip import StripView
from gui.strip.curves import loss_tints
from gui.strip.legend import entries, in_rows, legend_px
from gui.strip.level_chart import _with_room
from gui.strip.picture import Picture, upright
from gui.strip.readout import AHEAD, readings, tip, whole
from gui.strip.rows import LEGEND_PX, USUAL_READING
from linesim.record import Record, State
from tests.gui.look.test_palette import contrast
from tests.gui.strip.conftest import HOURS, MINUTE


def test_the_buttons_of_the_strip_grow_with_the_letters(view: StripView) -> None:
    for times in (1.0, 1.5):
        for button in view.stretches.values():
            font = button.font()
            font.setPointSizeF(font.pointSizeF() * times)
            button.setFont(font)
        QApplication.processEvents()
        for words, button in view.stretches.items():
            room = button.width() - button.fontMetrics().horizontalAdvance(words)
            assert room >= 16, words


@pytest.mark.parametrize("wide", [445, 930])
def test_large_letters_have_room_in_the_strip(view: StripView, wide: int) -> None:
    canvas = view.canvas
    font = canvas.font()
    font.setPixelSize(20)
    canvas.setFont(font)
    canvas.resize(wide, canvas.minimumHeight())
    metrics, left = canvas.fontMetrics(), canvas._plot().left()
    first_px = metrics.horizontalAdvance("0:00") / 2
    assert metrics.horizontalAdvance(canvas.window_of_time.title) + 4 <= left - first_px
    for row in canvas.rows:
        assert (row.head_px if row.what == "level" else row.height) >= metrics.height()
        if row.lane is not None:
            assert metrics.horizontalAdvance(row.lane.title) <= left - 10
    beside, between = canvas.width() - canvas._plot().right(), canvas._plot().width()
    assert between - 2 <= beside <= between + 1 or 232 < beside < between
    if beside < between:
        # Less the mark of the state and the distance to the run and to the edge.
        assert metrics.horizontalAdvance(USUAL_READING) <= beside - 24
    picture = canvas.grab().toImage()
    above = range(canvas._plot().top() - 10)
    across = range(left + 30, canvas._plot().right())
    dark = sum(picture.pixelColor(x, y).lightness() < 128 for x in across for y in above)
    assert dark > 50, "no moments above the lanes"


def test_the_ghost_is_drawn_behind_and_named(
    view: StripView, shown: ShownShift, record: Record, ghost: Record
) -> None:
    alone = view.canvas.grab().toImage()
    shown.show(record, ghost=ghost)
    assert view.canvas.grab().toImage() != alone
    row = next(r for r in view.canvas.rows if r.what == "level")
    tip = view.canvas.tip_at(QPoint(600, row.top + 5))
    assert "before the change: " in tip


def test_each_line_of_a_narrow_strip_is_named_though_since_when_has_no_room(
    view: StripView, shown: ShownShift, record: Record, ghost: Record
) -> None:
    shown.show(record, ghost=ghost)

    def keys(wide: int) -> list[str]:
        view.resize(wide, 330)
        shown.cursor_ns = 60 * MINUTE
        view.stretches["10 min"].click()
        view.canvas.grab()
        plot = view.canvas._row_plots()._plots["reams"]
        assert plot.keys is not None
        return [key.words for key in plot.keys.keys]

    *lines, since = keys(1280)
    assert [each.split()[0] for each in lines] == ["good", "nameplate", "before"]
    assert since.startswith("since ")
    assert keys(760) == lines
    # Where they have no room beside each other there are more rows.
    assert keys(560) == lines


@pytest.mark.parametrize(("wide", "letters_px"), [(620, 12), (1280, 12), (1280, 18), (1280, 24)])
def test_every_level_of_the_bridge_is_named_with_a_line_that_leads_to_it(
    view: StripView, shown: ShownShift, wide: int, letters_px: int
) -> None:
    font = view.canvas.font()
    font.setPixelSize(letters_px)
    view.canvas.setFont(font)
    line = linesim.scenario.load(linesim.scenario.find_scenario("slow-wrapper"))
    shown.show(linesim.fast.simulate(line, hours=0.2))
    view.resize(wide, 330)
    view.canvas.grab()
    plot = view.canvas._row_plots()._plots["level"]
    (axis,) = (each for each in plot._axes if isinstance(each, NamedAxis))
    picture = QPicture()
    painter = QPainter(picture)
    *_, drawn = axis.generateDrawSpecs(painter)
    painter.end()
    boxes = sorted((box.top(), box, words) for box, _, words in drawn)
    said = [words for _, _, words in boxes]
    assert said == [
        "room for 60", "stop at 52", "catch up from 40", "slow from 36", "restart at 30",
    ]  # fmt: skip
    tops = [top for top, *_ in boxes]
    high = view.canvas.fontMetrics().height() - 1
    assert all(below - above >= high for above, below in itertools.pairwise(tops))
    assert tops[-1] + high <= plot.height() + 1
    # A stroke begins beside the middle of the words and ends at the line of the level.
    strokes = [
        (stroke.y1, stroke.y2)
        for item in plot._items
        if isinstance(item, Shapes)
        for stroke in item.shapes
        if isinstance(stroke, Stroke)
    ]
    for (_, box, _), reams in zip(boxes, (60, 52, 40, 36, 30), strict=True):
        middle = 1 - box.center().y() / plot.height()
        assert any(
            abs(start - middle) < 0.03 and end == pytest.approx(plot.up.at(reams))
            for start, end in strokes
        ), reams


def test_names_of_levels_lie_beside_their_lines_and_over_no_other() -> None:
    lines = [(0.9, "a"), (0.85, "b"), (0.1, "d"), (0.3, "c")]
    placed = _with_room(lines, 0.2)
    assert [words for _, words in placed] == ["a", "b", "c", "d"]
    assert [at for at, _ in placed] == pytest.approx([0.9, 0.7, 0.3, 0.1])
    # All of them at the foot: the others move up.
    low = _with_room([(0.02, "c"), (0.04, "b"), (0.06, "a")], 0.2)
    assert [words for _, words in low] == ["a", "b", "c"]
    assert [at for at, _ in low] == pytest.approx([0.5, 0.3, 0.1])
    # What there is no room for: the lowest.
    assert [words for _, words in _with_room(lines, 0.3)] == ["a", "b", "c"]


def test_what_is_lit_does_not_cross_the_keys_of_the_reams(
    view: StripView, shown: ShownShift
) -> None:
    canvas = view.canvas
    canvas.grab()
    row, plots = canvas.rows[-1], canvas._row_plots()
    (above, keys), (below, bottom) = upright(canvas.rows, plots, 5)
    assert (above, keys, bottom) == (5, row.top, row.bottom)
    plot = plots._plots["reams"]
    assert plot.keys is not None
    assert below >= row.top + max(place.bottom() for place in plot.keys.places) - 1 > row.top + 10


def test_parts_of_the_sheeter_are_lanes_when_asked_for(view: StripView) -> None:
    titles = [r.lane.title for r in view.canvas.rows if r.lane]
    assert titles == ["sheeter", "transfer", "bridge", "wrapper", "outfeed"]
    view.parts.setChecked(True)
    titles = [r.lane.title for r in view.canvas.rows if r.lane]
    assert titles[:3] == ["sheeter", "unwind", "web path"]
    assert all(r.bottom <= view.canvas.height() for r in view.canvas.rows)


def test_a_dark_system_gets_a_dark_strip(view: StripView) -> None:
    def corner() -> QColor:
        return view.canvas.grab().toImage().pixelColor(2, view.canvas.height() - 3)

    assert corner() == QColor(LIGHT.ground)
    dark = QPalette(QColor("#202020"))
    view.setPalette(dark)
    assert corner() == QColor(DARK.ground)


def test_a_low_strip_keeps_its_words_in_their_rows(qtbot: QtBot, shown: ShownShift) -> None:
    view = StripView(shown)
    qtbot.addWidget(view)
    view.resize(920, 340)
    view.show()
    canvas = view.canvas
    rows = canvas.rows
    assert all(a.bottom <= b.top for a, b in itertools.pairwise(rows))
    assert rows[-1].bottom + LEGEND_PX <= canvas.height()
    assert "good reams" in canvas.tip_at(QPoint(400, rows[-1].top + 5))


def test_the_legend_says_every_look_of_the_lanes_however_narrow(
    qtbot: QtBot, shown: ShownShift, view: StripView
) -> None:
    canvas = view.canvas
    found = entries(canvas._lanes)
    looks = {(layer.quiet, layer.state) for lane in canvas._lanes for layer in lane.layers}
    assert {State.DOWN, State.BLOCKED, State.STARVED} <= {e.state for e in found if not e.quiet}
    assert {state for quiet, state in looks if not quiet} == {e.state for e in found if not e.quiet}
    metrics = canvas.fontMetrics()
    one = in_rows(found, metrics, 4000)
    several = in_rows(found, metrics, 400)
    assert len(one) == 1 < len(several)
    assert [each for row in several for each in row] == one[0] == found
    for row in several:
        wide = sum(metrics.horizontalAdvance(each.words) + 38 for each in row)
        assert wide <= 400 + 13
    view.resize(760, 420)
    assert (
        canvas.rows[-1].bottom + legend_px(len(several), metrics.height())
        <= canvas.height() + LEGEND_PX
    )
    view.length.setCurrentIndex(view.length.count() - 1)
    words = [each.words for row in canvas._legend for each in row]
    assert "filtered out, or waits for a slower station" in words


@pytest.mark.parametrize("height", [100, 330, 1100])
@pytest.mark.parametrize("width", [420, 1500])
def test_curves_stand_below_the_moments_of_the_lanes_and_in_their_rows(
    view: StripView, shown: ShownShift, ghost: Record, width: int, height: int
) -> None:
    record = shown.record
    assert record is not None
    shown.show(record, ghost=ghost)
    view.resize(width, height)
    QApplication.processEvents()
    canvas = view.canvas
    canvas.grab()
    start, end = record.start_ns, record.end_ns
    for row in canvas.rows[-1], next(r for r in canvas.rows if r.what == "level"):
        assert row.curve is not None
        for t_ns in (start, (start + end) // 2, end):
            point = canvas.point_of(row, t_ns)
            assert point is not None
            assert abs(point.x() - canvas.x_of(t_ns)) < 1.5
            assert row.curve.top - 1 <= point.y() <= row.curve.bottom + 1
    curves = canvas._curves
    assert curves is not None
    (*_, reading) = readings(record, curves, canvas._ghost, canvas.rows, shown.cursor_ns)
    said = len(reading.lines) + len(reading.losses)
    assert len(reading.losses) == 4
    assert said * canvas._line_px() <= canvas.height() - canvas.rows[-1].top


@pytest.mark.parametrize(("value", "text"), [(-0.4, "0"), (-1.2, "−1"), (1234.4, "1,234")])
def test_a_loss_a_little_below_nothing_is_nothing(value: float, text: str) -> None:
    assert whole(value) == text


def test_reams_ahead_of_the_slowest_station_are_told_as_no_loss(
    view: StripView, shown: ShownShift
) -> None:
    line = linesim.scenario.load(linesim.scenario.find_scenario("full-pallets"))
    shown.show(linesim.fast.simulate(line, hours=4))
    canvas, record = view.canvas, shown.record
    assert record is not None
    curves = canvas._curves
    assert curves is not None
    rest = list(curves.out.gap(curves.out.times_ns).values())[-1]
    at_ns = int(curves.out.times_ns[rest.argmin()])
    (*_, reading) = readings(record, curves, None, canvas.rows, at_ns)
    assert reading.losses[-1] == f"{whole(rest.min())} {AHEAD}"
    assert reading.losses[-1].startswith("−")
    assert "have yet to pass its slowest station" in tip(
        record, curves, None, canvas.rows[-1], at_ns
    )
    (*_, calm) = readings(record, curves, None, canvas.rows, int(record.start_ns))
    assert calm.losses[-1] == "0 speed, rejects, other"


def test_orders_stand_above_the_lanes_where_the_line_has_some(
    qtbot: QtBot, view: StripView, shown: ShownShift
) -> None:
    canvas = view.canvas
    assert all(row.what != "orders" for row in canvas.rows)
    scenario = linesim.scenario.load(linesim.scenario.find_scenario("orders"))
    late = scenario.order[0].model_copy(update={"due_h": 0.5})
    run = linesim.fast.simulate(
        scenario.model_copy(update={"order": [late, *scenario.order[1:]]}), hours=HOURS
    )
    shown.show(run)
    view.resize(900, 100)
    QApplication.processEvents()
    row, lane = canvas.rows[:2]
    assert row.what == "orders"
    assert row.bottom <= lane.top
    assert canvas.rows[-1].bottom <= canvas.height()
    at = QPoint(round(canvas.x_of(60 * MINUTE)), row.top + row.height // 2)
    assert "due Mon 2 Mar 06:30: 1.5 h late as the run ends" in canvas.tip_at(at)
    canvas.grab()
    qtbot.mouseMove(canvas, at)
    assert canvas._read_out.words == canvas.tip_at(at)
    image = canvas.grab().toImage()
    # The line of what is due, in the upper half; its words stand left of it.
    upper = range(row.top, row.top + row.height // 2 - 2)
    shade = QColor(LIGHT.trouble)
    inked = [x for x in range(canvas.width()) if shade in [image.pixelColor(x, y) for y in upper]]
    assert abs(max(inked) - canvas.x_of(30 * MINUTE)) <= 2


def test_what_is_resized_while_it_is_drawn_is_drawn_again(
    qtbot: QtBot, view: StripView, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Drawing a plot has Qt hand on what waits: the page may have found another size meanwhile."""
    canvas, paint = view.canvas, Picture.paint
    drawn_to = []

    def paint_and_resize(picture: Picture, painter: QPainter) -> None:
        paint(picture, painter)
        drawn_to.append(picture.plot.right())
        if len(drawn_to) == 1:
            canvas.resize(canvas.width() - 200, canvas.height())

    monkeypatch.setattr(Picture, "paint", paint_and_resize)
    canvas.show_ripple(None)
    QApplication.processEvents()
    canvas.update()
    QApplication.processEvents()
    assert drawn_to[-1] < drawn_to[0]


@pytest.mark.parametrize(("palette", "least"), [(LIGHT, 1.5), (DARK, 2.2)], ids=["light", "dark"])
def test_losses_are_seen_on_the_ground_and_good_reams_on_the_losses(
    palette: Palette, least: float
) -> None:
    *causes, other = loss_tints(palette)
    assert min(contrast(each, palette.ground) for each in causes) >= least
    assert contrast(other, palette.ground) < min(contrast(each, palette.ground) for each in causes)
    assert min(contrast(palette.curve, each) for each in (*causes, other)) >= 3
