"""The drawing follows the cursor and plays."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt

import linesim
from gui.plan import PlanView
from gui.shift import ShownShift
from tests.gui.plan.lines import run

SECOND = 1_000_000_000


@pytest.fixture
def shown():
    model = ShownShift()
    model.show(run("short-bridge"))
    return model


@pytest.fixture
def view(qtbot, shown):
    widget = PlanView(shown)
    qtbot.addWidget(widget)
    widget.resize(1240, 420)
    widget.show()
    return widget


def test_without_a_run_it_says_so(qtbot):
    view = PlanView(ShownShift())
    qtbot.addWidget(view)
    view.show()
    assert not view.play_button.isEnabled()
    view.picture.describe()
    assert view.picture.accessibleDescription() == "No run is shown."
    assert view.accessibleDescription() == "No run is shown."
    assert view.picture.moment() is None


def test_the_picture_follows_the_cursor(view, shown):
    shown.cursor_ns = 600 * SECOND
    assert view.picture.moment() == linesim.record.moment_at(shown.record, 600 * SECOND)
    before = view.picture.grab().toImage()
    shown.cursor_ns = 660 * SECOND
    assert view.picture.grab().toImage() != before


def test_the_picture_is_told_in_words(qtbot, view, shown):
    shown.cursor_ns = 900 * SECOND
    words = linesim.report.describe_moment(view.picture.moment())
    qtbot.waitUntil(lambda: view.picture.accessibleDescription() == words, timeout=20_000)
    assert words.startswith("At 0:15:00")


def test_the_run_before_a_change_stays_beside_the_new_one(view, shown):
    shown.cursor_ns = 900 * SECOND
    alone = view.picture.grab().toImage()
    assert view.note.text() == ""
    assert view.picture.other() is None
    quiet, stopped = run("short-bridge"), run("slow-wrapper")
    shown.show(quiet, ghost=stopped)
    assert view.picture.other() == linesim.record.moment_at(stopped, 900 * SECOND)
    assert view.picture.moment() == linesim.record.moment_at(quiet, 900 * SECOND)
    assert view.picture.grab().toImage() != alone
    assert "before the change" in view.note.text()
    view.picture.describe()
    assert "Before the change, at the same moment:" in view.picture.accessibleDescription()
    stop = linesim.scenario.ForcedStop(station="wrapper", at_h=0.1, minutes=5)
    shown.show(stopped, ghost=quiet, forced=(stop,))
    assert "without the stop" in view.note.text()
    shown.show(quiet)
    assert view.note.text() == ""


def test_another_run_is_drawn_when_it_is_shown(view, shown):
    other = run("two-wrappers")
    shown.show(other)
    assert len(view.picture.moment().wrappers) == 2


def test_space_plays_and_pauses(qtbot, view, shown):
    view.setFocus()
    qtbot.keyClick(view, Qt.Key.Key_Space)
    assert view.player.playing
    assert view.play_button.text() == "Pause"
    qtbot.waitUntil(lambda: shown.cursor_ns > SECOND, timeout=20_000)
    qtbot.keyClick(view, Qt.Key.Key_Space)
    assert not view.player.playing
    stood = shown.cursor_ns
    qtbot.wait(80)
    assert shown.cursor_ns == stood


def test_keys_step_and_change_the_speed(qtbot, view, shown):
    shown.cursor_ns = 100 * SECOND
    qtbot.keyClick(view, Qt.Key.Key_Right)
    assert shown.cursor_ns == 101 * SECOND
    qtbot.keyClick(view, Qt.Key.Key_Left, Qt.KeyboardModifier.ShiftModifier)
    assert shown.cursor_ns == 41 * SECOND
    qtbot.keyClick(view, Qt.Key.Key_Plus)
    assert view.player.speed == view.speed_box.currentData() == 600
    qtbot.keyClick(view, Qt.Key.Key_Minus)
    qtbot.keyClick(view, Qt.Key.Key_Minus)
    assert view.player.speed == view.speed_box.currentData() == 10


def test_the_speed_is_seconds_of_the_run_in_a_second(view, shown):
    view.speed_box.setCurrentIndex(view.speed_box.findData(600))
    shown.cursor_ns = 100 * SECOND
    view.player.advance(500)
    assert shown.cursor_ns == 400 * SECOND


def test_playing_ends_with_the_run_and_begins_anew(qtbot, view, shown):
    shown.cursor_ns = shown.record.end_ns - SECOND
    view.player.play()
    view.player.advance(60_000)
    assert not view.player.playing
    assert shown.cursor_ns == shown.record.end_ns
    qtbot.mouseClick(view.play_button, Qt.MouseButton.LeftButton)
    assert view.player.playing
    assert shown.cursor_ns < 60 * SECOND
    view.player.pause()
