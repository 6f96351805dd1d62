"""Page one: what is signed, on one page whatever the texts; and the pages behind it."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from io import BytesIO

import pytest
from pypdf import PdfReader

from linesim.money import Purchase
from linesim.report.answers import Answer, AnswerTable, Bar, Bars, Column, Figure
from linesim.report.answers.advice import Advice, worth_clause
from linesim.report.page import ReportPage, report_page
from linesim.report.page.choice import LEAST_FILLED, MOST_PAGES
from linesim.report.page.model import FigureBlock
from linesim.scenario import in_currency, load, shipped_scenarios
from linesim.statistics import Bounds, Interval
from linesim.studies import Replicated, replicate
from linesim.studies.worth import Market, Worth
from tests.report.page.pages import hostile_line, hostile_runs, study

FOOT = 46


def known(mean: float, half_width: float = 0.0) -> Interval:
    return Interval(mean, half_width, 0.95, 20)


WORTH = Worth(
    purchase=Purchase(420_000, 38_000, 0.0, 10.0),
    reams=known(1_960_000, 50_000),
    contribution=known(626_000, 16_000),
    waste_t=known(11.5, 2.2),
    waste=known(-7_700, 1_500),
    parts=known(0),
    yearly=known(580_300, 16_000),
    present_value=known(3_480_000, 110_000),
    payback_years=Bounds(0.724, 0.704, 0.744, 0.95, 20),
    break_even_demand=known(10_520_000, 70_000),
)


def wrapper(change: str = "one more wrapper") -> Answer:
    said = f"Change one thing: {change}; {in_currency(worth_clause(WORTH), 'EUR')}."
    gains = tuple(Bar(f"lever {n}", Figure(100.0 - n, 3.0)) for n in range(16))
    rows = tuple((f"lever {n}", Figure(100.0 - n, 3.0)) for n in range(18))
    columns = (Column("change"), Column("gain", "EUR a year"))
    return Answer(
        "what-to-change",
        "any",
        (said, *(f"{change} is so. " * 3 for _ in range(5))),
        (AnswerTable("alone", "Alone", columns, rows),) * 3,
        charts=(Bars("alone", "Each lever alone", *columns, gains),) * 2,
        question="What should be changed on this line, and in which order?",
        advice=Advice(said, change, WORTH, ("more_wrappers", "longer_bridge", "more_people")),
    )


def printed(page: ReportPage) -> tuple[list[str], list[float]]:
    """Of each page its text, and the baseline of its lowest text above the foot, in points."""
    texts, lowest = [], []
    for sheet in PdfReader(BytesIO(page.pdf())).pages:
        heights: list[float] = []

        def visit(text: str, cm: list[float], tm: list[float], *_: object) -> None:
            height = tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
            if text.strip() and height > FOOT:
                heights.append(height)  # noqa: B023 - called within the round

        texts.append(sheet.extract_text(visitor_text=visit))
        lowest.append(min(heights))
    return texts, lowest


def test_page_one_says_the_line_in_the_studys_weeks_and_the_pages_behind_repeat_no_bar():
    runs, answer = hostile_runs(), wrapper("one more wrapper, 900 ± 80 reams a week more")
    page = report_page(hostile_line(), runs, [answer]).model
    hourly = runs.measure("good_reams_per_hour")
    assert f"a week of 168 h gives {hourly.text(168)}." in page.front.beside
    assert "168 h" not in report_page(hostile_line(), runs, [wrapper()]).model.front.beside
    assert page.front.chart.drawing.title == "Each lever alone: the first 8 of 16"
    behind = [block for each in page.sections for block in each.blocks]
    titles = [block.drawing.title for block in behind if isinstance(block, FigureBlock)]
    assert titles.count("Each lever alone: the other 8") <= 1
    # The second picture of the study is one of its own.
    assert titles.count("Each lever alone") <= 1


def test_the_money_stands_as_it_adds_up_and_the_risks_are_of_this_change():
    front = report_page(hostile_line(), hostile_runs(), [wrapper()]).model.front
    assert front.answer == (
        "Change one thing: one more wrapper; it brings 580,000 ± 16,000 EUR a year for 420,000 EUR,"
        " paid back in 0.724 (0.704–0.744) years."
    )
    summed, spent = ({row[0]: row[1] for row in grid.rows} for grid in front.money)
    assert summed["total a year"] == "580,000 ± 16,000"
    assert summed["running cost"] == "−38,000"
    assert spent["capital, EUR"] == "420,000"
    assert spent["present value, EUR"] == "3,480,000 ± 110,000"
    assert [risk.lead for risk in front.risks] == [
        "What is not known.",
        "Demand.",
        "What the model leaves out.",
    ]
    doubt, demand, left_out = (risk.text for risk in front.risks)
    assert "18 have figures of common practice" in doubt
    assert "It breaks even at 10,520,000 ± 70,000;" in demand
    assert left_out.startswith("An added machine is taken to stop as the one that is there")
    assert "A longer buffer is so many places" in left_out
    assert "before tax" in left_out
    without = report_page(hostile_line(), hostile_runs()).model.front
    assert "An added machine" not in without.risks[2].text
    assert without.money[0].title.startswith("What falls short in a year")


def test_the_demand_is_held_against_what_the_runs_of_the_study_make():
    """The break-even is of those runs: page one does not tell the output of others beside it."""
    answer = wrapper()
    market = Market(Interval(10_400_000, 90_000, 0.95, 4), None, 6200)
    of_study = replace(answer, advice=replace(answer.advised, market=market))
    for each, own in ((answer, False), (of_study, True)):
        demand = report_page(hostile_line(), hostile_runs(), [each]).model.front.risks[1].text
        assert ("the line makes 10,400,000 ± 90,000 reams a year now" in demand) == own


@lru_cache
def long_names() -> Replicated:
    line = hostile_line().varied(line={"name": "W" * 60, "note": "note " * 40})
    return replicate(line, replications=2, hours=0.5)


@pytest.mark.parametrize("question", [None, "Shall we buy one? " * 100])
@pytest.mark.parametrize("change", ["one more wrapper", "a wider and longer bridge; " * 30])
def test_page_one_is_one_page_and_what_has_no_room_stands_behind_it(
    question: str | None, change: str
):
    runs = long_names()
    page = report_page(runs.scenario, runs, [wrapper(change)], question=question, date="1 March")
    (first, *others), marks = printed(page)
    for words in ("Three risks", "Prepared:", "Checked:", "Decided:", "Local codes"):
        assert words in first
    assert "Each lever alone" in first
    behind = " ".join(" ".join(others).split())
    assert ("In full" in behind) is (question is not None or len(change) > 100)
    if question:
        assert " ".join(question.split()) in behind
    assert min(marks) > FOOT
    assert page.model.front.chart.drawing.title in " ".join(first.split())


@lru_cache
def demo_runs(name: str) -> Replicated:
    return replicate(load(shipped_scenarios()[name]), replications=2, hours=1.0)


@pytest.mark.parametrize("name", sorted(shipped_scenarios()))
@pytest.mark.parametrize("count", [1, 3])
def test_evidence_takes_five_pages_at_most_and_none_is_next_to_empty(name: str, count: int):
    runs = demo_runs(name)
    answers = [wrapper(), *[replace(study(), words=wrapper("a longer bridge").words)] * 2][:count]
    text = shipped_scenarios()[name].read_text(encoding="utf-8")
    page = report_page(runs.scenario, runs, answers, text=text)
    texts, marks = printed(page)
    assert 2 <= len(marks) <= 1 + MOST_PAGES
    whole = 842 - 34 - FOOT
    assert all(842 - 34 - low >= (LEAST_FILLED - 0.03) * whole for low in marks)
    assert "The appendix has it" in " ".join(texts[-1].split())


def test_the_appendix_has_the_rest_and_no_page_of_it_is_next_to_empty():
    page = report_page(hostile_line(), hostile_runs(), [wrapper()], appendix=True)
    texts, marks = printed(page)
    said = " ".join(texts)
    for words in ("Figures that are the program's defaults", "What the words mean", "SHA-256"):
        assert words in said
    assert max(marks) < 842 - 34 - (LEAST_FILLED - 0.03) * (842 - 34 - FOOT)


def test_worth_is_not_told_for_sure_where_the_runs_do_not():
    unclear = replace(WORTH, yearly=known(5_000, 9_000))
    assert worth_clause(unclear).startswith("it is not clear yet whether it earns or loses")
    losing = replace(WORTH, yearly=known(-5_000, 900), payback_years=None)
    assert worth_clause(losing).startswith("it loses 5,000 ± 900 ¤ a year for 420,000 ¤")
    free = replace(WORTH, purchase=Purchase(0.0, 0.0, 0.0, 10.0))
    assert worth_clause(free) == "it brings 580,000 ± 16,000 ¤ a year with nothing to buy"
    later = replace(WORTH, payback_years=None)
    assert "not known yet" in worth_clause(later)
