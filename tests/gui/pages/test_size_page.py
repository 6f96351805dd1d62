"""The slider of the bridge page as a person uses it: dragged, rested, written, taken back."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtWidgets import QStyle, QStyleOptionSlider
from pytestqt.qtbot import QtBot

import linesim
from gui.document import Document
from gui.pages import SizePage, StudyPage, page_for
from gui.pages.places_slider import PlacesSlider
from gui.workers import WorkerPool
from tests.caches import own_cache

WAIT_MS = 60_000
_BETWEEN_MS = 15
"""Moves that come faster are left out by the plot."""


@pytest.fixture(scope="module")
def document() -> Document:
    document = Document()
    document.open("short-bridge")
    return document


@pytest.fixture(scope="module")
def page(
    qapp: object, document: Document, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[SizePage]:
    """One page for all tests here, with a curve of three lengths: its process is slow to start."""
    with pytest.MonkeyPatch.context() as patch:
        own_cache(patch, tmp_path_factory.mktemp("cache"))
        pool = WorkerPool()
        page = page_for("size-bridge", document, pool)
        assert isinstance(page, SizePage)
        page.resize(1000, 700)
        page.show()
        page.settings.runs.setValue(2)
        page.settings.hours.setValue(1)
        page.options.set_values({"places": "10,60", "levels": False})
        yield page
        pool.close()
        page.close()


@pytest.fixture
def curve(qtbot: QtBot, page: SizePage) -> SizePage:
    if page.sizes is None:
        qtbot.mouseClick(page.progress.start, Qt.MouseButton.LeftButton)
        qtbot.waitUntil(lambda: not page.busy, timeout=WAIT_MS)
    assert page.sizes is not None
    return page


def handle(page: SizePage) -> QPoint:
    slider, option = page.slider.slider, QStyleOptionSlider()
    slider.initStyleOption(option)
    where = slider.style().subControlRect(
        QStyle.ComplexControl.CC_Slider, option, QStyle.SubControl.SC_SliderHandle, slider
    )
    return where.center()


def shown(page: SizePage) -> str:
    return page.readout.accessibleDescription()


def test_dragged_it_speaks_at_once_and_where_it_rests_the_curve_grows(
    qtbot: QtBot, curve: SizePage
) -> None:
    sizes = curve.sizes
    assert sizes is not None
    slider = curve.slider.slider
    # It opens where the answer advises, with what is known of that length below.
    assert (slider.minimum(), slider.maximum(), slider.value()) == (10, 60, sizes.best)
    assert curve.answer_view.answer is not None
    assert f"{sizes.best} places" in curve.answer_view.answer.words[0]
    assert curve.readout.heading.text().startswith(f"{sizes.best} places")
    curve.slider.put(21)
    start = handle(curve)
    qtbot.mousePress(slider, Qt.MouseButton.LeftButton, pos=start)
    for step in range(1, 13):
        qtbot.mouseMove(slider, start + QPoint(10 * step, 0))
        places = curve.slider.places
        # From the points there are, within the same turn of the event loop.
        assert shown(curve) == sizes.at(places).spoken
    qtbot.mouseRelease(slider, Qt.MouseButton.LeftButton, pos=start + QPoint(120, 0))
    places = curve.slider.places
    assert 21 < places < 60
    assert "not run; between 21 and 60" in curve.readout.heading.text()
    view = curve.answer_view.chart_view
    assert view is not None
    assert view.mark is not None
    assert (view.mark.x, view.mark.rests_on) == (places, (21, 60))
    qtbot.waitUntil(lambda: curve.sizes is not None and places in curve.sizes.run, timeout=WAIT_MS)
    assert curve.sizes is not None
    assert curve.sizes.run == (10, 21, places, 60)
    metres = round(0.33 * places, 2)
    heading = f"{places} places ({metres:g} m): 2 runs of 1 h"
    assert curve.readout.heading.text().startswith(heading)
    assert view.mark.rests_on == (places,)
    assert isinstance(view.chart, linesim.report.Curve)
    assert [point.x for point in view.chart.points] == [10, 21, places, 60]
    # Nothing but what the same question asked at once would have said.
    assert curve._answered is not None
    options = {"places": f"10,{places},60", "levels": False}
    alone = linesim.questions.ask(
        linesim.questions.Question("size-bridge", options),
        {"": curve._answered},
        curve.settings.settings(),
    )
    assert curve.answer_view.answer is not None
    assert linesim.report.answer_json(alone) == linesim.report.answer_json(curve.answer_view.answer)


def test_by_the_keys_only_where_it_rests_is_run(qtbot: QtBot, curve: SizePage) -> None:
    assert curve.sizes is not None
    before = curve.sizes.run
    slider = curve.slider.slider
    qtbot.keyClick(slider, Qt.Key.Key_Home)
    assert curve.slider.places == 10
    qtbot.keyClick(slider, Qt.Key.Key_Right)
    qtbot.keyClick(slider, Qt.Key.Key_PageUp)
    assert curve.slider.places == 21
    assert curve.slider.number.value() == 21
    qtbot.keyClick(slider, Qt.Key.Key_Left)
    qtbot.waitUntil(lambda: curve.growing, timeout=WAIT_MS)
    # One that is under way gives way to the next.
    qtbot.keyClick(slider, Qt.Key.Key_PageDown)
    qtbot.keyClick(slider, Qt.Key.Key_Right)
    qtbot.keyClick(slider, Qt.Key.Key_Right)
    assert curve.slider.places == 12
    assert slider.accessibleName() == "bridge length in places, reams"
    assert "12 places" in slider.accessibleDescription()
    assert curve.slider.number.text() == "12 places (3.96 m)"
    qtbot.waitUntil(lambda: curve.sizes is not None and 12 in curve.sizes.run, timeout=WAIT_MS)
    assert curve.sizes is not None
    assert set(curve.sizes.run) - set(before) <= {12, 20}


def test_the_slider_lies_along_the_axis_of_the_curve(curve: SizePage) -> None:
    view, sizes, slider = curve.answer_view.chart_view, curve.sizes, curve.slider.slider
    assert view is not None
    assert view.plot is not None
    assert sizes is not None
    plot = view.plot

    def apart(places: int) -> float:
        above = plot.mapToGlobal(plot.at(places, plot.up.value(0.5))).x()
        return abs(above - slider.mapToGlobal(QPointF(slider.x_of(places), 0)).x())

    assert max(apart(places) for places in sizes.run) < 1
    plot.zoom(nearer=True)
    middle = min(sizes.run, key=lambda places: abs(plot.across.at(places) - 0.5))
    assert apart(middle) < 1
    plot.show_all()
    charts, here = curve.answer_view.charts, curve.answer_view.charts.currentIndex()
    assert curve.answer_view.answer is not None
    kinds = [type(chart) for chart in curve.answer_view.answer.charts]
    charts.setCurrentIndex(
        next(n for n, kind in enumerate(kinds) if kind is not linesim.report.Curve)
    )
    assert slider._plot is None
    charts.setCurrentIndex(here)
    assert slider._plot is plot


def test_the_line_on_the_curve_can_be_taken_hold_of(qtbot: QtBot, curve: SizePage) -> None:
    view, sizes = curve.answer_view.chart_view, curve.sizes
    assert view is not None
    assert view.plot is not None
    assert sizes is not None
    curve.slider.slider.setValue(60)
    view.grab()
    plot, hand = view.plot, view.plot.viewport()
    middle = plot.up.value(0.5)
    at = [plot.at(place, middle).toPoint() for place in sizes.run]
    qtbot.mouseMove(hand, at[-1])
    qtbot.mousePress(hand, Qt.MouseButton.LeftButton, pos=at[-1])
    # The line is at parts of a pixel, the hand is at whole ones.
    for place, spot in zip(sizes.run, at, strict=True):
        qtbot.wait(_BETWEEN_MS)
        qtbot.mouseMove(hand, spot)
        assert abs(curve.slider.places - place) <= 1
    qtbot.mouseRelease(hand, Qt.MouseButton.LeftButton, pos=at[0])
    qtbot.mouseClick(hand, Qt.MouseButton.LeftButton, pos=at[1])
    assert abs(curve.slider.places - sizes.run[1]) <= 1
    curve.slider.put(60)


def test_written_into_the_scenario_in_one_step_and_taken_back(
    qtbot: QtBot, curve: SizePage, document: Document
) -> None:
    before, slider = document.text, curve.slider.slider
    # From elsewhere: the test before may have put it there without a move.
    slider.setValue(10)
    slider.setValue(60)
    assert document.scenario is not None
    expected = linesim.studies.with_bridge(document.scenario, 60)
    qtbot.mouseClick(curve.slider.write, Qt.MouseButton.LeftButton)
    assert document.scenario == expected
    assert document.undo_words == "bridge: 60 places (19.8 m)"
    assert not curve.slider.write.isEnabled()
    assert "now has 60 places (19.8 m), and is otherwise that of the curve" in curve._stale.text()
    document.undo()
    assert document.text == before
    assert curve.slider.write.isEnabled()
    assert not curve._stale.isVisible()
    document.set_field("crew.size", -1)
    assert not curve.slider.write.isEnabled()
    document.undo()


def test_the_other_studies_have_no_slider(qtbot: QtBot, document: Document) -> None:
    pool = WorkerPool()
    page = page_for("vary", document, pool)
    qtbot.addWidget(page)
    assert type(page) is StudyPage
    pool.close()


def test_the_slider_is_as_logarithmic_as_the_axis(qtbot: QtBot) -> None:
    slider = PlacesSlider()
    qtbot.addWidget(slider)
    slider.resize(400, 30)
    slider.setRange(5, 500)
    start, end = slider.x_of(5), slider.x_of(500)
    assert slider.x_of(50) == pytest.approx((start + end) / 2, abs=0.5)
    middle = QPoint(round((start + end) / 2), slider.height() // 2)
    qtbot.mousePress(slider, Qt.MouseButton.LeftButton, pos=middle)
    assert abs(slider.value() - 50) <= 1
    qtbot.mouseMove(slider, QPoint(round(end) + 40, middle.y()))
    assert slider.value() == 500
    qtbot.mouseRelease(slider, Qt.MouseButton.LeftButton, pos=middle)
    assert not slider.isSliderDown()
    slider.setRange(10, 60)
    assert slider.x_of(35) == pytest.approx((slider.x_of(10) + slider.x_of(60)) / 2, abs=0.5)
    slider.setRange(7, 7)
    slider.grab()
