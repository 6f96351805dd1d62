"""A view that is gone is told nothing and asked for nothing, whichever way it went."""

from __future__ import annotations

import gc
import weakref
from collections.abc import Callable
from functools import cache

import pytest
import shiboken6
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

import linesim
from gui.headline import GapView, HeadlineView, LossStaircase, VView
from gui.plan import PlanView
from gui.shift import ShownShift, connect_weakly
from gui.strip import StripView
from gui.window.shift_page import ShiftPage
from gui.workers import WorkerPool


def shift_page(shown: ShownShift) -> ShiftPage:
    """The page asks for runs where a stop was put in; here none is."""
    return ShiftPage(shown, WorkerPool())


VIEWS = [StripView, PlanView, GapView, HeadlineView, LossStaircase, VView, shift_page]
PREPARING = [StripView, PlanView, GapView, HeadlineView, LossStaircase, shift_page]


@cache
def run(seed: int) -> linesim.record.Record:
    scenario = linesim.scenario.load(linesim.scenario.find_scenario("short-bridge"))
    stop = linesim.scenario.ForcedStop(station="wrapper", at_h=0.02, minutes=1)
    return linesim.fast.simulate(scenario, seed=seed, hours=0.1, forced=[stop])


def say_everything(shown: ShownShift) -> None:
    """Every word the model has for its views."""
    before, now = run(1), run(2)
    shown.busy = True
    shown.prepare(now, before)
    shown.show(now, ghost=before)
    shown.show_figures(linesim.report.as_one_run(now))
    shown.cursor_ns += 1_000_000_000
    shown.selected = linesim.record.stop_events(now)[0]
    shown.busy = False


def listeners(shown: ShownShift) -> int:
    signals = (
        shown.record_changed,
        shown.figures_changed,
        shown.cursor_moved,
        shown.stop_selected,
        shown.busy_changed,
    )
    return sum(len(signal) for signal in signals) + len(shown._prepare)


@pytest.mark.parametrize("kind", VIEWS)
def test_a_view_that_nobody_holds_goes_and_is_heard_of_no_more(
    qtbot: QtBot, kind: Callable[[ShownShift], QWidget]
) -> None:
    shown = ShownShift()
    view = kind(shown)
    say_everything(shown)
    assert listeners(shown)
    gone = weakref.ref(view)
    del view
    gc.collect()
    assert gone() is None
    say_everything(shown)
    assert listeners(shown) == 0


@pytest.mark.parametrize("kind", VIEWS)
def test_a_view_whose_widget_is_gone_is_told_nothing(
    qtbot: QtBot, kind: Callable[[ShownShift], QWidget]
) -> None:
    """Somebody still holds on to it: what it would do to its widget would be an error."""
    shown = ShownShift()
    view = kind(shown)
    say_everything(shown)
    shiboken6.delete(view)
    say_everything(shown)
    assert listeners(shown) == 0
    with pytest.raises(RuntimeError, match="already deleted"):
        view.update()


@pytest.mark.parametrize("kind", PREPARING)
def test_only_views_that_are_there_work_out_what_comes(
    qtbot: QtBot, kind: Callable[[ShownShift], QWidget]
) -> None:
    shown = ShownShift()
    there, gone = kind(shown), kind(shown)
    qtbot.addWidget(there)
    both = len(shown._prepare)
    shiboken6.delete(gone)
    shown.prepare(run(1))
    left = [listener.method().__self__ for listener in shown._prepare]
    assert 0 < len(left) == both / 2
    assert all(each is there or there.isAncestorOf(each) for each in left)


class Ear(QWidget):
    def __init__(self) -> None:
        super().__init__()
        self.heard: list[int] = []

    def hear(self, moment_ns: int) -> None:
        self.heard.append(moment_ns)


def test_the_others_hear_on_when_one_goes(qtbot: QtBot) -> None:
    shown = ShownShift()
    ears = [Ear() for _ in range(3)]
    for ear in ears:
        connect_weakly(shown.cursor_moved, ear.hear)
    shown.cursor_ns = 5
    shiboken6.delete(ears[0])
    shown.cursor_ns = 6
    shown.cursor_ns = 7
    assert [ear.heard for ear in ears] == [[5], [5, 6, 7], [5, 6, 7]]
