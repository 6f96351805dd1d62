"""The row of figures, the staircase and the V follow what is on screen."""

from __future__ import annotations

import gc
import weakref
from functools import cache

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication

import linesim
from gui import dialogs
from gui.charts.shapes import Box, Shapes
from gui.headline import GapView, HeadlineView, LossStaircase, VView
from gui.headline.page import LossesPage
from gui.headline.products import ProductsView
from gui.headline.row import FigureCell, all_figures
from gui.look import one_decimal
from gui.shift import ShownShift
from linesim.report import GlanceFigure


@cache
def line(metres: float = 7.0):
    demo = linesim.scenario.load(linesim.scenario.find_scenario("short-bridge"))
    return demo.varied(bridge={"length_m": metres})


@cache
def run(metres: float = 7.0, stopped: bool = False):
    forced = (
        [linesim.scenario.ForcedStop(station="wrapper", at_h=0.2, minutes=10)] if stopped else []
    )
    return linesim.fast.simulate(line(metres), seed=1, hours=1, forced=forced)


@cache
def many(metres: float = 7.0):
    return linesim.studies.replicate(line(metres), replications=3, hours=1)


@pytest.fixture
def shown():
    return ShownShift()


@pytest.fixture
def view(qtbot, shown):
    widget = HeadlineView(shown, figures=all_figures)
    qtbot.addWidget(widget)
    widget.resize(1240, 90)
    widget.show()
    return widget


def said(view):
    return {cell.name.text(): cell.value.text() for cell in view.cells}


def test_without_a_run_it_says_so(view):
    assert view.basis.text() == "No run is shown yet."
    assert view.cells == []


def test_one_run_is_said_to_be_one(view, shown):
    shown.show(run())
    row = linesim.report.glance(linesim.report.as_one_run(run()))
    assert said(view) == {f.name: one_decimal(f.value) for f in row.figures} | {
        "holds the line": row.holds
    }
    assert "one run, no interval" in view.basis.text()


def test_energy_is_in_the_row_of_a_line_with_power_and_of_no_other(view, shown):
    powered = line().varied(cutter={"kw_running": 40, "kw_standing": 4})
    shown.show(linesim.fast.simulate(powered, seed=1, hours=1))
    assert list(said(view))[-2:] == ["kWh per 1,000 good reams", "holds the line"]
    assert all(cell.isVisible() for cell in view.cells)
    shown.show(run())
    assert [cell.name.text() for cell in view.cells if cell.isVisible()][-1] == "holds the line"
    assert not any(cell.isVisible() for cell in view.cells[7:])


def test_intervals_come_when_many_runs_are_in(view, shown):
    shown.show(run())
    shown.show_figures(many())
    assert said(view)["good reams per hour"] == linesim.report.glance(many()).figures[0].value
    assert "±" in said(view)["good reams per hour"]
    assert view.basis.text().startswith("Mean of 3 runs of 1 h")


def test_figures_of_another_line_are_not_shown(view, shown):
    shown.show(run(9.0))
    shown.show_figures(many(7.0))
    assert "one run, no interval" in view.basis.text()


@pytest.fixture
def key(qtbot, shown):
    widget = HeadlineView(shown)
    qtbot.addWidget(widget)
    widget.show()
    return widget


def changes(view):
    return [cell.change.text() for cell in view.cells]


def test_a_run_with_a_forced_stop_keeps_its_own_figures(key, shown):
    stop = linesim.scenario.ForcedStop(station="wrapper", at_h=0.2, minutes=10)
    shown.show(run(stopped=True), ghost=run(), forced=(stop,))
    shown.show_figures(many())
    good = run(stopped=True).books.reams.good
    assert said(key)["good reams in 1 h"] == f"{good:,}"
    assert changes(key)[0] == f"−{run().books.reams.good - good} (one run)"
    assert "without the stop" in key.basis.text()


def test_changes_are_of_one_run_until_both_lines_have_many(key, shown):
    shown.show(run(9.0), ghost=run(7.0))
    assert "one run" in changes(key)[0]
    shown.show_figures(many(9.0), many(7.0))
    figures = linesim.report.key_figures(many(9.0), many(7.0))
    assert changes(key) == [one_decimal(each.change) for each in figures]
    assert "3 pairs of runs" in key.cells[0].change.toolTip()
    # Another file was opened: there is nothing to compare with.
    shown.show(run(7.0))
    shown.show_figures(many(7.0))
    assert changes(key) == ["", "", ""]
    assert not any(cell.change.isVisible() for cell in key.cells)


def test_the_gap_has_a_bar_for_each_cause_that_leads_on(qtbot, shown):
    gap = GapView(shown)
    qtbot.addWidget(gap)
    assert gap.causes == ()
    shown.show(run())
    shown.show_figures(many())
    assert gap.causes == linesim.report.gap_by_cause(many(), 8)
    assert [words.split("\n")[0] for words in spots(gap)] == [
        f"{each.name}: {each.reams.text()} reams" for each in gap.causes
    ]
    chosen = []
    gap.chosen.connect(chosen.append)
    qtbot.keyClick(gap, Qt.Key.Key_Down)
    qtbot.keyClick(gap, Qt.Key.Key_Down)
    qtbot.keyClick(gap, Qt.Key.Key_Return)
    assert chosen == [gap.causes[1]]


def test_it_says_that_the_line_is_being_run_again(view, shown):
    shown.show(run())
    shown.busy = True
    assert "being run again" in view.basis.text()
    shown.busy = False
    assert "being run again" not in view.basis.text()


def test_every_figure_has_a_name_for_a_screen_reader(view, shown):
    shown.show(run())
    for cell in view.cells:
        assert cell.value.accessibleName() == cell.name.text()
        shown_as = cell.value.accessibleDescription().split(": ", 1)[1].split(". ")[0]
        assert one_decimal(shown_as) == cell.value.text()
    assert "What holds the line" in view.cells[-1].value.toolTip()


def spots(view):
    """What the points of a chart say."""
    return [spot.words for spot in view.plot.reading.spots]


def test_staircase_shows_the_steps_and_tells_them(qtbot, shown):
    stairs = LossStaircase(shown)
    qtbot.addWidget(stairs)
    assert stairs.accessibleDescription() == "No run is shown."
    assert spots(stairs) == []
    shown.show(run())
    assert stairs.steps == linesim.report.loss_staircase(linesim.report.as_one_run(run()))
    assert spots(stairs) == [
        f"{step.name}: {step.value}, {step.share} of planned time" for step in stairs.steps
    ]
    shown.show_figures(many())
    assert stairs.steps == linesim.report.loss_staircase(many())
    assert "breakdowns" in stairs.accessibleDescription()
    assert "mean of 3 runs" in stairs.accessibleDescription()
    assert stairs.caption.text() in stairs.accessibleDescription()


def test_staircase_keeps_the_line_before_with_the_difference(qtbot, shown):
    stairs = LossStaircase(shown)
    qtbot.addWidget(stairs)
    shown.show(run(9.0))
    assert stairs.changes == ()
    assert stairs.plot.keys is None
    shown.show(run(9.0), ghost=run(7.0))
    single = [linesim.report.as_one_run(run(metres)) for metres in (9.0, 7.0)]
    assert stairs.changes == linesim.report.loss_changes(*single)
    assert not any("±" in each.value for each in stairs.changes)
    assert stairs.plot.keys.keys[0].words.startswith("before the change")
    shown.show_figures(many(9.0), many(7.0))
    assert stairs.changes == linesim.report.loss_changes(many(9.0), many(7.0))
    step = next(s for s in linesim.report.loss_staircase(many(9.0)) if s.name == "breakdowns")
    told = next(words for words in spots(stairs) if words.startswith("breakdowns"))
    assert f"breakdowns: {step.value}, {step.share} of planned time" in told
    assert "difference, same random numbers: " in told
    stop = linesim.scenario.ForcedStop(station="wrapper", at_h=0.2, minutes=10)
    shown.show(run(stopped=True), ghost=run(), forced=(stop,))
    assert stairs.plot.keys.keys[0].words.startswith("without the stop")
    told = {each.name: each.value for each in stairs.changes}
    assert told["good output"].startswith("−")
    assert f"good output {stairs.steps[-1].value}" in stairs.accessibleDescription()
    assert told["good output"] in stairs.accessibleDescription()


def test_each_step_begins_where_the_last_one_ended(qtbot, shown):
    stairs = LossStaircase(shown)
    qtbot.addWidget(stairs)
    shown.show(run())
    (shapes,) = (item.shapes for item in stairs.plot._items if isinstance(item, Shapes))
    areas = [shape.area for shape in shapes if isinstance(shape, Box)]
    across = stairs.plot.across.value
    assert len(areas) == len(stairs.steps)
    for step, area in zip(stairs.steps, areas, strict=True):
        low, high = sorted((step.bottom_h, step.top_h))
        assert across(area.left()) == pytest.approx(low, abs=1e-9)
        assert across(area.right()) == pytest.approx(high, abs=1e-9)


def test_rates_have_an_axis_and_keep_those_of_the_line_before(qtbot, shown):
    rates = VView(shown)
    qtbot.addWidget(rates)
    assert spots(rates) == []
    faster = line().varied(cutter={"web_speed_m_per_min": 200})
    before = linesim.fast.simulate(faster, seed=1, hours=0.1)
    shown.show(run(), ghost=run(9.0))
    assert rates.bars == linesim.report.rate_bars(line())
    assert rates.before == ()  # A longer bridge changes no rate.
    assert spots(rates)[0].startswith("sheeter: rated 42.1, net 35.6 reams/min, lowest net rate")
    assert spots(rates)[0] in rates.accessibleDescription()
    shown.show(run(), ghost=before)
    assert rates.before == linesim.report.rate_bars(faster)
    assert f"before the change: {rates.before[0].value}" in spots(rates)[0]
    svg = rates.svg().decode()
    assert all(f">{number}<" in svg for number in (0, 20, 40, 60))


def test_names_below_the_columns_have_as_many_lines_as_they_need(qtbot, shown):
    rates = VView(shown)
    qtbot.addWidget(rates)
    rates.resize(1200, 320)
    rates.show()
    shown.show(run())
    high = []
    for width in (1200, 500, 420, 1200):
        rates.resize(width, 320)
        QApplication.processEvents()
        (below,) = (axis for axis in rates.plot._axes if axis.orientation == "bottom")
        lines = max(text.count("\n") + 1 for _, text in below._names)
        high.append(below.geometry().height())
        assert high[-1] >= lines * rates.fontMetrics().height()
        assert below.geometry().bottom() <= rates.plot.height()
    assert high[2] > high[0] == high[3]


def test_its_charts_have_titles_and_can_be_taken_away(qtbot, shown, tmp_path, monkeypatch):
    page = LossesPage(shown)
    qtbot.addWidget(page)
    shown.show(run())
    written = []
    dialogs.WRITTEN.told.connect(written.append)
    for chart, words, row in (
        (page.losses, "six big losses", "breakdowns"),
        (page.rates, "net of its own stops", "sheeter"),
    ):
        assert words in chart.accessibleName()
        for kind in ("PNG", "SVG", "CSV"):
            (action,) = (each for each in chart.menu.actions() if kind in each.text())
            path = tmp_path / f"{words}.{kind.lower()}"
            monkeypatch.setattr(dialogs, "ask_file", lambda *_, path=path: path)
            action.trigger()
            assert written[-1] == path
        assert words in path.with_suffix(".svg").read_text(encoding="utf-8")
        assert row in path.read_text(encoding="utf-8")
        assert not QImage(str(path.with_suffix(".png"))).isNull()
        monkeypatch.setattr(dialogs, "ask_file", lambda *_: tmp_path / "nowhere" / "x.svg")
        action.trigger()
        assert "could not be written" in chart.status.text()


def test_products_are_listed_only_where_there_are_orders(qtbot, shown):
    page = LossesPage(shown)
    qtbot.addWidget(page)
    page.show()
    shown.show(run())
    assert not page.products.isVisible()
    orders = ({"name": "A4", "reams": 300}, {"name": "A3", "reams": 100, "sheet_length_mm": 420})
    ordered = line().varied(order=orders, changeover={"size_min": 3.0})
    record = linesim.fast.simulate(ordered, seed=1, hours=1)
    # As the window does, before it shows a run beside the one before.
    shown.prepare(record, shown.record)
    shown.show(record)
    assert page.products.isVisible()
    table = page.products.table
    assert [table.item(row, 0).text() for row in range(table.rowCount())] == ["A4", "A3"]
    heads = [table.horizontalHeaderItem(n).text() for n in range(table.columnCount())]
    assert heads == ["product", "good reams", "availability", "performance", "quality", "OEE"]
    shown.show(run())
    assert not page.products.isVisible()


def test_the_figures_of_a_run_are_worked_out_once_for_all_views(qtbot, shown, monkeypatch):
    views = [HeadlineView(shown), GapView(shown), LossStaircase(shown), ProductsView(shown)]
    for each in views:
        qtbot.addWidget(each)
    worked_out = []
    whole = linesim.report.as_one_run
    monkeypatch.setattr(
        "gui.headline.figures.as_one_run", lambda record: worked_out.append(1) or whole(record)
    )
    record = linesim.fast.simulate(line(), seed=5, hours=0.2)
    shown.prepare(record, None)
    shown.show(record)
    assert worked_out == [1]
    # They go with the run.
    kept = weakref.ref(record)
    shown.show(run())
    del record
    gc.collect()
    assert kept() is None


def test_only_a_long_name_takes_a_second_line(qtbot):
    cell = FigureCell()
    qtbot.addWidget(cell)
    cell.show()
    for value, lines in (("wrapper for export reams beside the pillar", 2), ("14,608", 1)):
        cell.show_figure(GlanceFigure("holds the line", value, "", "−398 (one run)"))
        cell.adjustSize()
        metrics = cell.value.fontMetrics()
        assert round(cell.value.height() / metrics.lineSpacing()) == lines
        assert cell.value.width() < 30 * metrics.averageCharWidth()
    assert cell.change.x() < 12 * metrics.averageCharWidth()
