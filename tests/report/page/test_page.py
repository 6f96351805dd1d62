"""What goes into a report, and what is refused."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from linesim.report.answers import Answer, AnswerTable, Bar, Bars, Column, Figure
from linesim.report.page import NotTheSameRunError, PageRefusedError, report_page
from linesim.report.page.costs import yearly_costs
from linesim.report.page.drawing import Circle, Text
from linesim.report.page.evidence import answer_grids
from linesim.report.page.model import FigureBlock, PageModel, Paragraph, Points
from linesim.report.page.pdf_grid import _width, _widths
from linesim.report.page.pdf_styles import WIDTH
from linesim.report.page.shift_strip import shift_strip
from linesim.report.page.study_charts import chart_caption, chart_drawing
from linesim.report.page.typical import typical_shift
from linesim.scenario import find_scenario, load, shipped_scenarios
from linesim.studies import replicate
from tests.report.page.pages import hostile_line, hostile_runs, study


def figures(page: PageModel) -> list[FigureBlock]:
    shown = [b for s in page.sections for b in s.blocks if isinstance(b, FigureBlock)]
    return [page.front.chart, *shown]


def test_a_study_of_another_scenario_is_refused_with_what_differs():
    other = hostile_line().varied(bridge={"length_m": 9.0})
    with pytest.raises(PageRefusedError, match=r"study size-bridge.*\[bridge\] differs"):
        report_page(hostile_line(), hostile_runs(), [(other, study())])


def test_a_study_at_other_prices_is_refused():
    other = hostile_line().varied(money={"contribution_per_ream": 9.0})
    with pytest.raises(PageRefusedError, match=r"\[money\] differs"):
        report_page(hostile_line(), hostile_runs(), [(other, study())])
    other = hostile_line().varied(levers={"more_wrappers": 3})
    with pytest.raises(PageRefusedError, match=r"\[levers\] differs"):
        report_page(hostile_line(), hostile_runs(), [(other, study())])


def test_another_name_or_note_is_no_other_scenario():
    other = hostile_line().varied(line={"name": "renamed", "note": "new"})
    page = report_page(hostile_line(), hostile_runs(), [(other, study())])
    assert any(section.name == "study0" for section in page.model.evidence)


def test_figures_of_another_scenario_are_refused():
    with pytest.raises(PageRefusedError, match="the figures"):
        report_page(load(find_scenario("small-crew")), hostile_runs())


def test_the_run_shown_is_the_one_nearest_the_mean():
    runs = hostile_runs()
    shift = typical_shift(runs)
    rates = [run.measures["good_reams_per_hour"] for run in runs.runs]
    mean = sum(rates) / len(rates)
    shown = shift.record.books.reams.good / shift.record.hours
    assert abs(shown - mean) == min(abs(rate - mean) for rate in rates)
    assert f"Run {shift.record.replication} of 3" in shift.why


def test_a_run_that_comes_out_otherwise_is_not_shown_as_the_same():
    with pytest.raises(NotTheSameRunError, match="warm-up"):
        typical_shift(hostile_runs(), warm_up_h=0.5)


def test_of_a_longer_run_one_shift_is_shown():
    scenario = hostile_line().varied(line={"shift_hours": 1.0})
    shift = typical_shift(replicate(scenario, replications=2, hours=2.5))
    assert shift.hours == pytest.approx(1.0)
    assert "Of its 2 shifts, number" in shift.why
    # One shift of the two whole ones, no more than the run made and no fewer than none.
    starts = [0, 3_600_000_000_000]
    assert shift.start_ns in starts
    whole = shift.record.books.reams.good
    assert 0 < shift.good_reams() < whole
    assert f"{shift.good_reams():,} by the end" in shift_strip(shift).description


def test_costs_are_the_losses_at_the_price_of_a_ream():
    runs = hostile_runs()
    money = runs.scenario.money
    (first, *_, paper) = yearly_costs(runs)
    hours = runs.over_runs(lambda run: run.losses_h["line"][first.name], "h").mean
    rated = runs.runs[0].effectiveness["line"]["rated_reams_per_min"]
    assert rated is not None
    assert first.reams is not None
    assert first.money is not None
    assert first.reams.mean == pytest.approx(hours / 1.0 * rated * 60 * money.hours_per_year)
    assert first.money.mean == pytest.approx(first.reams.mean * money.contribution_per_ream)
    assert paper.name == "avoidable waste"


def test_reams_that_nobody_buys_are_no_loss():
    scenario = hostile_line().varied(money={"demand_reams_per_year": 1000.0})
    runs = replicate(scenario, replications=2, hours=0.5)
    (first, *_) = yearly_costs(runs)
    assert first.reams is not None
    assert first.money is not None
    assert (first.reams.mean > 0, first.money.mean) == (True, 0)
    html = report_page(scenario, runs).html()
    assert "No more than the 1,000 reams that are bought count." in html
    assert "The market is said to take 1,000 reams a year; the line makes" in html


def test_without_prices_no_money_is_said():
    scenario = hostile_line().varied(money={"contribution_per_ream": 0.0, "paper_cost_per_t": 0.0})
    runs = replicate(scenario, replications=2, hours=0.5)
    assert all(cost.money is None for cost in yearly_costs(runs))
    html = report_page(scenario, runs).html()
    assert "The scenario has no prices in [money]." in html


def test_one_run_says_that_it_cannot_tell_how_sure_it_is():
    runs = replicate(hostile_line(), replications=1, hours=0.5)
    html = report_page(hostile_line(), runs).html()
    assert "One run of 0.5\u00a0h was made: nothing can be said" in html


@pytest.mark.parametrize("name", sorted(shipped_scenarios()))
def test_every_demo_gives_a_page_and_a_print(name: str):
    path: Path = find_scenario(name)
    scenario = load(path)
    runs = replicate(scenario, replications=2, hours=1.0)
    page = report_page(scenario, runs, text=path.read_text(encoding="utf-8"))
    assert [block.name for block in figures(page.model)] == ["stairs", "line", "shift", "rates"]
    for block in figures(page.model):
        drawing = block.drawing
        assert drawing.title
        assert len(drawing.description) > 40
        for mark in drawing.marks:
            numbers = [v for v in mark if isinstance(v, float)]
            assert all(value == value for value in numbers)
    assert not re.search(r"\bnan\b|\binf\b", page.html())
    assert page.pdf().startswith(b"%PDF-")


def test_a_study_says_what_it_rests_on():
    answer = Answer(
        "add-wrapper",
        "any",
        ("One more wrapper gives more.", "In money: 7 ± 2 a year.", "Cheaper things."),
        (),
        facts={"seed": 3, "hours": 24.0, "level": 0.95, "replications": 4, "warm_up_h": 2.0},
        question="Does one more wrapper pay, and what would do as much?",
    )
    line = hostile_line()
    page = report_page(line, hostile_runs(), [answer]).model
    assert page.front.question == answer.question
    assert page.front.answer == "One more wrapper gives more."
    (study,) = (section for section in page.evidence if section.name == "study0")
    assert study.blocks[-1] == Paragraph(
        "Study add-wrapper: 4 runs of 24 h for each of its variants, which met the same random"
        " numbers, seed 3, 95 % intervals, the first 2 h of each run left out.",
        quiet=True,
    )


@pytest.mark.parametrize(
    ("hours", "other"), [((0.5, 0.5), False), ((0.5, 24.0), True), ((24.0, 24.0), True)]
)
def test_replications_that_are_not_the_same_are_told_of(hours: tuple[float, float], other: bool):
    line = hostile_line()
    answers = [
        Answer(study, "any", ("Words.",), (), facts={"seed": 1, "hours": h, "replications": 2})
        for study, h in zip(("vary", "size-bridge"), hours, strict=True)
    ]
    page = report_page(line, replicate(line, replications=2, hours=0.5, seed=1), answers).model
    parts = {section.name: section for section in page.evidence}
    (said, *_) = (b.items for b in parts["sure"].blocks if isinstance(b, Points))
    assert any("met other random numbers" in each for each in said) is other
    together = any("studies vary and size-bridge rest on" in each for each in said)
    assert together is (hours[0] == hours[1])


def test_a_band_has_two_ends_and_no_middle():
    bars = (Bar("1 March", Figure(29_300.0, 2_310.0), 29_464.0),)
    chart = Bars("days", "Days", Column("day"), Column("good reams"), bars, "counted", bands=True)
    drawing = chart_drawing(chart)
    assert not any(isinstance(mark, Circle) for mark in drawing.marks)
    assert "27,000–31,600, counted 29,464" in drawing.description
    assert "±" not in drawing.description
    assert chart_caption(chart) == "Stroke: the band. Upright stroke: counted."
    # Its axis begins where the band does, not at 0.
    assert "0" not in [mark.text for mark in drawing.marks if isinstance(mark, Text)]


@pytest.mark.parametrize("columns", [2, 5, 11])
def test_a_table_goes_on_below_only_where_a_page_has_no_room_for_its_figures(columns: int):
    # With two letters between columns they make 110.
    figure = "1" * (112 // columns - 2)
    rows = ((figure,) * columns,)
    (grid,) = answer_grids(AnswerTable("t", "T", (Column("n"),) * columns, rows))
    assert min(_widths(grid, WIDTH, 7.0)) >= _width(7.0, figure)


def test_a_table_wider_than_a_page_goes_on_below_with_its_figures_whole():
    wide = AnswerTable(
        "sum",
        "The sum",
        (Column("term"), *(Column(f"{n} places") for n in range(9))),
        (("a year", *(Figure(1_234_567.0 + n, 80_000.0, n > 0) for n in range(9))),),
    )
    grids = list(answer_grids(wide))
    assert len(grids) > 1
    assert [grid.title for grid in grids[1:]] == ["The sum, continued"] * (len(grids) - 1)
    assert [name for grid in grids for name in grid.columns[1:]] == [
        f"{n} places" for n in range(9)
    ]
    assert all((grid.columns[0], grid.rows[0][0]) == ("term", "a year") for grid in grids)
    assert [bool(grid.note) for grid in grids] == [False] * (len(grids) - 1) + [True]
    line = hostile_line()
    answer = Answer("size-bridge", "any", ("Words.",), (wide,))
    html = report_page(line, hostile_runs(), [answer]).html()
    assert html.count("1,230,000") == 9
