"""The strip used as a user uses it: clicks, wheel, drags, keys, filter, menu."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

import linesim
from gui.shift import ShownShift
from gui.strip import StripView, run_shown
from linesim.record import Record, State
from tests.gui.strip.conftest import HOURS, MINUTE, lane_row, longest, place


def wheel(view: StripView, at: QPoint, turned: QPoint) -> None:
    canvas = view.canvas
    event = QWheelEvent(
        QPointF(at),
        QPointF(canvas.mapToGlobal(at)),
        QPoint(),
        turned,
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(canvas, event)


def test_a_click_on_a_stop_looks_closely_at_what_it_did(
    qtbot: QtBot, view: StripView, shown: ShownShift, record: Record
) -> None:
    stop = longest(record, "wrapper")
    told: list[linesim.record.Ripple | None] = []
    view.ripple_changed.connect(told.append)
    middle = (stop.start_ns + stop.end_ns) // 2
    at = place(view, "wrapper", middle)
    qtbot.mouseClick(view.canvas, Qt.MouseButton.LeftButton, pos=at)
    assert shown.selected == stop
    # As near as could be pointed while the whole run was shown.
    assert abs(shown.cursor_ns - middle) < (record.end_ns - record.start_ns) / 500
    window = view.canvas.window_of_time
    ripple = told[-1]
    ends = [stop.end_ns, *(end for each in ripple.reached for end in each.ends_ns)]
    assert ripple.event == stop
    assert window.start_ns <= stop.start_ns
    assert max(ends) <= window.end_ns
    assert window.length_ns < 2 * (max(ends) - stop.start_ns)
    qtbot.mouseClick(view.stretches["back to all"], Qt.MouseButton.LeftButton)
    assert shown.selected is None
    assert told[-1] is None
    window = view.canvas.window_of_time
    assert (window.start_ns, window.end_ns) == (record.start_ns, record.end_ns)


def test_a_stop_is_let_go_while_its_run_is_still_shown(
    view: StripView, shown: ShownShift, record: Record, ghost: Record
) -> None:
    """The next run may have fewer causes, and the strip's lanes are still those of this one."""
    shown.selected = view.canvas.events[0]
    then: list[Record | None] = []
    shown.stop_selected.connect(lambda event: event or then.append(shown.record))
    shown.show(ghost)
    assert then[0] is record
    then.clear()
    shown.clear()
    assert then[0] is ghost
    assert shown.record is None


def test_a_click_on_a_wait_selects_the_stop_it_is_for(
    qtbot: QtBot, view: StripView, shown: ShownShift, record: Record
) -> None:
    events = linesim.record.stop_events(record)
    stop = longest(record, "wrapper")
    reached = linesim.record.ripple(record, stop, events).reached
    blocked = next(r for r in reached if record.stations[r.station] == "transfer")
    middle = (blocked.starts_ns[-1] + blocked.ends_ns[-1]) // 2
    view.canvas.look_at(view.canvas.window_of_time.showing(10 * MINUTE, middle))
    at = place(view, "transfer", middle)
    qtbot.mouseClick(view.canvas, Qt.MouseButton.LeftButton, pos=at)
    assert shown.selected == stop


def test_stops_are_stepped_through_and_the_filter_is_kept(
    qtbot: QtBot, view: StripView, shown: ShownShift, record: Record
) -> None:
    events = linesim.record.stop_events(record)
    qtbot.keyClick(view.canvas, Qt.Key.Key_N)
    first = shown.selected
    assert first == next(e for e in events if e.start_ns >= 0)
    view.cause.setCurrentIndex(view.cause.findData("wrapper jam"))
    jams = [e for e in events if record.causes[e.cause] == "wrapper jam"]
    assert view.count.text() == f"{len(jams)} stops"
    view.step(1)
    chosen = view._shown.selected
    assert chosen is not None
    assert view.count.text() == f"stop {jams.index(chosen) + 1} of {len(jams)}"
    view.back_to_all()
    assert view.count.text() == f"{len(jams)} stops"
    shown.selected, shown.cursor_ns = None, 0
    seen = []
    for _ in jams:
        qtbot.mouseClick(view.next, Qt.MouseButton.LeftButton)
        seen.append(shown.selected)
    assert seen == jams
    qtbot.keyClick(view.canvas, Qt.Key.Key_P)
    assert shown.selected == jams[-2]
    view.length.setCurrentIndex(view.length.findData(MINUTE))
    long = [e for e in jams if e.length_ns >= MINUTE]
    assert view.count.text().startswith(f"{len(long)} stop")
    assert len(long) < len(jams)


def test_the_filter_takes_the_colour_of_other_causes(view: StripView) -> None:
    lane = lane_row(view, "sheeter").lane
    assert lane is not None
    before = {layer.state for layer in lane.layers if not layer.quiet}
    assert State.CHANGEOVER in before
    view.cause.setCurrentIndex(view.cause.findData("wrapper jam"))
    lane = lane_row(view, "sheeter").lane
    assert lane is not None
    after = {layer.state for layer in lane.layers if not layer.quiet}
    assert after == {State.BLOCKED}


def test_a_long_run_is_filtered_while_the_window_goes_on(
    qtbot: QtBot, view: StripView, monkeypatch: pytest.MonkeyPatch
) -> None:
    every, before = view.count.text(), lane_row(view, "sheeter").lane
    monkeypatch.setattr(run_shown, "_LONG", 0)
    view.cause.setCurrentIndex(view.cause.findData("wrapper jam"))
    # Until it is worked out the old look stays, whole.
    assert (view.count.text(), lane_row(view, "sheeter").lane) == (every, before)
    qtbot.waitUntil(lambda: view.count.text() != every, timeout=20_000)
    after = lane_row(view, "sheeter").lane
    assert after is not None
    assert {layer.state for layer in after.layers if not layer.quiet} == {State.BLOCKED}


def test_the_wheel_zooms_about_the_pointer_and_dragging_pans(qtbot: QtBot, view: StripView) -> None:
    canvas = view.canvas
    whole = canvas.window_of_time
    at = place(view, "transfer", HOURS * 20 * MINUTE)
    under = canvas.time_at(at.x())
    wheel(view, at, QPoint(0, 360))
    assert canvas.window_of_time.length_ns < whole.length_ns / 2
    assert abs(canvas.time_at(at.x()) - under) <= canvas.window_of_time.length_ns / 1000
    start = canvas.window_of_time.start_ns
    qtbot.mousePress(canvas, Qt.MouseButton.LeftButton, pos=at)
    qtbot.mouseMove(canvas, at - QPoint(100, 0))
    qtbot.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=at - QPoint(100, 0))
    moved = canvas.window_of_time.start_ns - start
    assert moved == pytest.approx(100 / 912 * canvas.window_of_time.length_ns, rel=0.05)
    qtbot.mouseClick(view.stretches["back to all"], Qt.MouseButton.LeftButton)
    assert canvas.window_of_time == whole


def test_keys_do_what_the_mouse_does(
    qtbot: QtBot, view: StripView, shown: ShownShift, record: Record
) -> None:
    canvas = view.canvas
    qtbot.keyClick(canvas, Qt.Key.Key_End)
    assert shown.cursor_ns == record.end_ns
    qtbot.keyClick(canvas, Qt.Key.Key_Plus)
    assert canvas.window_of_time.length_ns < record.end_ns
    assert canvas.window_of_time.end_ns == record.end_ns
    qtbot.keyClick(canvas, Qt.Key.Key_Left)
    assert shown.cursor_ns < record.end_ns
    qtbot.keyClick(canvas, Qt.Key.Key_Home)
    assert shown.cursor_ns == canvas.window_of_time.start_ns == 0
    stop = longest(record, "wrapper")
    shown.cursor_ns = stop.start_ns + 1
    names = [r.lane.title for r in canvas.rows if r.lane]
    for _ in range(names.index("wrapper")):
        qtbot.keyClick(canvas, Qt.Key.Key_Down)
    assert canvas.accessibleDescription().startswith("wrapper, down: ")
    qtbot.keyClick(canvas, Qt.Key.Key_Return)
    assert shown.selected == stop
    ripple = linesim.record.ripple(record, stop, canvas.events)
    told = f"Chosen: {linesim.report.ripple_words(record, ripple)}"
    assert canvas.accessibleDescription().endswith(told)
    # The lane in hand is that of the stop that is stepped to, and its words come first.
    qtbot.keyClick(canvas, Qt.Key.Key_P)
    before = shown.selected
    assert before is not None
    lane = next(r.lane for r in canvas.rows if r.lane and before.station in r.lane.stations)
    said = canvas.accessibleDescription()
    assert said.startswith(lane.title)
    assert f"from {linesim.report.clock_words(before.start_ns)}" in said
    qtbot.keyClick(canvas, Qt.Key.Key_Escape)
    assert "Chosen" not in canvas.accessibleDescription()


def test_a_tip_names_cause_and_root(view: StripView, record: Record) -> None:
    jam = longest(record, "wrapper")
    tip = view.canvas.tip_at(place(view, "outfeed", (jam.start_ns + jam.end_ns) // 2))
    assert tip.startswith("outfeed\nstarved by wrapper: ")
    assert record.causes[jam.cause] in tip


def test_the_menu_asks_for_a_stop_there(qtbot: QtBot, view: StripView) -> None:
    menu = view.canvas.menu_for(lane_row(view, "wrapper"), 90 * MINUTE)
    with qtbot.waitSignal(view.stop_requested) as asked:
        menu.actions()[0].trigger()
    assert asked.args == ["wrapper", 1.5]


def test_the_strip_follows_a_cursor_that_plays_on_but_not_one_out_of_sight(
    view: StripView, shown: ShownShift
) -> None:
    canvas = view.canvas
    shown.cursor_ns = 30 * MINUTE
    canvas.look_at(canvas.window_of_time.showing(10 * MINUTE, 30 * MINUTE))
    shown.cursor_ns = 36 * MINUTE
    assert canvas.window_of_time.to_part(36 * MINUTE) == 0.5
    canvas.look_at(canvas.window_of_time.showing(10 * MINUTE, 90 * MINUTE))
    open_elsewhere = canvas.window_of_time
    shown.cursor_ns = 37 * MINUTE
    assert canvas.window_of_time == open_elsewhere


def test_a_curve_is_read_where_it_is_pointed_at(qtbot: QtBot, view: StripView) -> None:
    canvas = view.canvas
    canvas.grab()
    row = next(r for r in canvas.rows if r.what == "level")
    at = QPoint(600, row.top + row.height // 2)
    qtbot.mouseMove(canvas, at)
    assert canvas._read_out.words == canvas.tip_at(at)
    assert " of 21 reams" in canvas._read_out.words
    with_words = canvas.grab().toImage()
    qtbot.mouseMove(canvas, place(view, "wrapper", HOURS * 30 * MINUTE))
    assert not canvas._read_out.words
    assert canvas.grab().toImage() != with_words
    # A key shows another stretch: what was read is not of the place where the hand still is.
    qtbot.mouseMove(canvas, at)
    assert canvas._read_out.words
    canvas.look_at(canvas.window_of_time.showing(10 * MINUTE, canvas.window_of_time.start_ns))
    assert not canvas._read_out.words


def test_a_curve_is_taken_away_as_it_is_looked_at(
    view: StripView, record: Record, tmp_path: Path
) -> None:
    canvas = view.canvas
    canvas.look_at(canvas.window_of_time.showing(30 * MINUTE, 60 * MINUTE))
    menu = canvas.menu_for(canvas.rows[-1], 60 * MINUTE)
    assert "Save figures as CSV…" in [each.text() for each in menu.actions()]
    for what in ("level", "reams"):
        chart = canvas.chart_of(next(r for r in canvas.rows if r.what == what))
        assert chart is not None
        chart.save_csv(tmp_path / what)
        chart.save_svg(tmp_path / "chart.svg")
        assert "0:45:00 to 1:15:00" in (tmp_path / "chart.svg").read_text(encoding="utf-8")
    written = [(tmp_path / name).read_text("utf-8-sig") for name in ("level", "reams")]
    level = list(csv.reader(written[0].splitlines()))
    assert [float(level[1][0]), float(level[-1][1])] == [0.75, 1.25]
    assert record.history is not None
    times, values = record.history.bridge_level()
    inside = (times >= 45 * MINUTE) & (times < 75 * MINUTE)
    highest = max(int(row[3]) for row in level[1:])
    assert highest == max(values[inside].max(), values[times < 45 * MINUTE][-1])
    first, *_, last = csv.DictReader(written[1].splitlines())
    good = linesim.record.outflow(record).good(np.array([45, 75]) * MINUTE)
    assert float(first["good [reams]"]) == 0
    assert float(last["good [reams]"]) == good[1] - good[0]
    lost = sum(float(value) for value in list(last.values())[3:])
    assert lost == pytest.approx(float(last["nameplate [reams]"]) - (good[1] - good[0]), abs=0.5)


def test_what_begins_to_play_is_brought_on_screen(view: StripView, shown: ShownShift) -> None:
    canvas = view.canvas
    shown.cursor_ns = 100 * MINUTE
    canvas.look_at(canvas.window_of_time.showing(10 * MINUTE, 10 * MINUTE))
    view.follow(True)
    window = canvas.window_of_time
    assert window.start_ns <= shown.cursor_ns <= window.end_ns
    assert window.length_ns == 10 * MINUTE
    for _ in range(20):
        shown.cursor_ns = shown.cursor_ns + MINUTE
        window = canvas.window_of_time
        assert window.start_ns <= shown.cursor_ns <= window.end_ns
