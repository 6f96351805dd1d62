"""What to measure next, in words, as a table with bars, and where it stands."""

import json
from dataclasses import replace
from typing import Any

import pytest

from linesim.questions import ask
from linesim.questions.question import Question
from linesim.report.answers import answer_text
from linesim.report.answers.what_to_measure import (
    measure_chart,
    measure_table,
    measure_words,
)
from linesim.report.as_json import json_text
from linesim.report.as_text import run_text
from linesim.report.page import report_page
from linesim.scenario import Scenario, check_mapping, doubted, without_doubt
from linesim.statistics import Interval
from linesim.studies import replicate
from linesim.studies.runner import Settings
from linesim.studies.what_to_measure import MainFigure, Measurable, WhatToMeasure

LOG: dict[str, Any] = {"stops": 31, "days": 14}
LINE: dict[str, Any] = {
    "line": {"name": "invented", "invented": True},
    "stop": [
        {
            "cause": "wrapper jam",
            "every_reams": {"law": "exponential", "mean": 300},
            "restore_min": {"law": "lognormal", "mean": 4, "sd": 2},
            "doubt": [{"of": "every_reams", "between": [200, 450]} | LOG],
        },
        {
            "cause": "edge guiding",
            "doubt": [{"of": "every_running_h", "between": [90, 300], "stops": 3, "days": 14}],
        },
    ],
    "wrapper": [{"doubt": [{"of": "rate_reams_per_min", "between": [26, 35], "why": "its plate"}]}],
}


def _line() -> Scenario:
    return check_mapping(LINE)


def _found(runs_to_tell: int | None = 0) -> WhatToMeasure:
    jam, edge, rate = (
        next(each for each in doubted(_line()) if each.field == field)
        for field in ("every_reams", "every_running_h", "rate_reams_per_min")
    )
    interval = Interval(321_000, 1200, 0.95, 12, doubt=6000)
    ranked = (
        Measurable((jam,), 0.62, 0.48, 0.75, 14, None, 4390),
        Measurable((rate,), 0.3, 0.2, 0.42, None, None, 5120),
        Measurable((edge,), 0.004, 0.0, 0.02, None, 10, 6110),
    )
    figure = MainFigure("good reams a week", interval, 321_000)
    return WhatToMeasure(figure, ranked, 0.076, runs_to_tell)


def test_the_sentence_says_what_makes_most_and_what_narrows_it() -> None:
    assert measure_words(_found()) == (
        "wrapper jam (31 stops in 14 days) makes 62 % (48 to 75) of what is not known of the good"
        " reams a week; two more weeks of log: ± 6,100 → ± 4,400."
    )


def test_what_narrows_nothing_that_is_seen_is_not_told_as_a_change() -> None:
    found = _found()
    first = replace(found.ranked[0], both_then=6110)
    words = measure_words(replace(found, ranked=(first, *found.ranked[1:])))
    assert "two more weeks of log would leave ± 6,100 as it is." in words


@pytest.mark.parametrize(
    ("runs", "said"), [(384, "384 runs would tell"), (None, "Even 2,000 runs may not tell")]
)
def test_the_sentence_says_what_the_runs_do_not_tell(runs: int | None, said: str) -> None:
    assert said in measure_words(_found(runs))


def test_the_table_has_the_great_the_others_and_what_is_left() -> None:
    table = measure_table(_found())
    assert [row[0] for row in table.rows] == [
        "wrapper jam",
        "wrapper: rated speed",
        "1 other",
        "the rest",
    ]
    assert [row[1] for row in table.rows][:2] == ["31 stops in 14 days", "its plate"]
    assert [row[2] for row in table.rows] == [62, 30, 0, 8]
    assert [row[3] for row in table.rows] == ["48–75", "20–42", "", ""]
    assert [row[4] for row in table.rows][:2] == ["two more weeks of log", "if it were known"]
    assert [row[5] for row in table.rows] == [4400, 5100, None, None]
    # Two digits are known of what is left, and two are written.
    assert table.columns[5].text(0.49) == "0.49"


def test_the_chart_has_a_bar_for_each_of_the_great() -> None:
    chart = measure_chart(_found())
    assert [(bar.label, bar.figure and bar.figure.mean) for bar in chart.bars] == [
        ("wrapper jam", 62),
        ("wrapper: rated speed", 30),
    ]


def test_a_run_says_it_in_text_json_and_page_and_only_where_something_is_doubted() -> None:
    doubtful = replicate(_line(), replications=8, hours=4)
    text = run_text(doubtful)
    assert "What to measure next: what is not known of the good reams a week" in text
    assert "####" in text
    assert json.loads(json_text(doubtful))["what_to_measure"]["rows"]
    page = report_page(_line(), doubtful).html()
    assert page.count("What to measure next") > 2
    plain = replicate(without_doubt(_line()), replications=8, hours=4)
    assert "measure next" not in run_text(plain)
    assert "what_to_measure" not in json.loads(json_text(plain))
    assert "measure next" not in report_page(without_doubt(_line()), plain).html()


STUDIES: dict[str, dict[str, Any]] = {
    "size-bridge": {"places": "20,40", "levels": False},
    "add-wrapper": {},
    "vary": {"fields": ("crew.size=1,4",)},
}


@pytest.mark.parametrize("study", STUDIES)
def test_each_study_says_it_last_of_its_words_and_tables(study: str) -> None:
    settings = Settings(replications=4, hours=1)
    question = Question(study, STUDIES[study])
    found = ask(question, {"": _line()}, settings)
    assert found.words[-1].startswith("What to measure next: ")
    assert (found.tables[-1].name, found.charts[-1].name) == ("what-to-measure", "what-to-measure")
    assert "####" in answer_text(found)
    plain = ask(question, {"": without_doubt(_line())}, settings)
    assert "measure next" not in answer_text(plain)


def test_scenarios_side_by_side_share_their_doubts() -> None:
    two = LINE | {"crew": {"size": 1}}
    lines = {"one": _line(), "two": check_mapping(two)}
    found = ask(Question("compare", {}), lines, Settings(replications=4, hours=1))
    assert found.tables[-1].name == "what-to-measure"
