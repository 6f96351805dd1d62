"""The wages of a year, where a person meets them: terminal, page, JSON, and beside more people."""

from __future__ import annotations

import json
from typing import Any

import pytest

from linesim.report import json_text, run_text
from linesim.report.answers.vary import vary_answer
from linesim.report.page.costs import costs_grid
from linesim.scenario import Scenario
from linesim.studies.replications import Replicated, replicate
from linesim.studies.runner import Runner, Settings
from linesim.studies.vary import read_span, vary
from tests.line.calm_line import calm

SAID = (
    "Wages of the crew, paid whether the line runs or not: 499,200 a year"
    " (2 people for 6,240 h each at 30; by day: 1 person for 4,160 h at 30 an hour)."
)


def paid(**money: Any) -> Scenario:
    """Two people at night, three by day, three shifts on five days."""
    return calm(
        calendar={"shifts_per_day": 3, "days_per_week": 5},
        crew={"size": 2},
        crew_group=[{"name": "by day", "last_shift": 2}],
        money={"hours_per_year": 6240.0} | money,
    )


def made(scenario: Scenario) -> Replicated:
    return replicate(scenario, hours=0.5, replications=2)


def costs_of(result: Replicated) -> str:
    return costs_grid(result).note


def test_they_stand_in_text_page_and_json_with_their_sum() -> None:
    result = made(paid(wage_per_h=30.0))
    assert SAID in " ".join(run_text(result).split())
    assert SAID in costs_of(result)
    wages = json.loads(json_text(result))["wages"]
    assert wages["money_per_year"] == pytest.approx(499_200)
    assert [each["hours"] for each in wages["paid"]] == pytest.approx([6240, 4160])


def test_where_nobody_says_what_people_are_paid_nothing_is_said() -> None:
    result = made(paid(person_cost_per_year=50_000.0))
    assert "Wages" not in run_text(result)
    assert "Wages" not in costs_of(result)
    assert "wages" not in json.loads(json_text(result))
    assert "wages" not in json.loads(json_text(made(calm(crew={"size": 0}))))


@pytest.mark.parametrize(
    ("field", "money", "said"),
    [
        ("crew.size", {"wage_per_h": 30.0}, "187,200 ¤ a year for one more person."),
        (
            "crew_group.by day.number",
            {"wage_per_h": 30.0},
            "124,800 ¤ a year for one more person of 'by day'.",
        ),
        ("crew_group.number", {}, "wage_per_h in [money] can say how much they are."),
    ],
)
def test_people_that_are_varied_cost_the_hours_of_their_shifts(
    field: str, money: dict[str, float], said: str
) -> None:
    line = paid(**money)
    with Runner(Settings(replications=2, hours=0.5, processes=1)) as runner:
        found = vary(line, runner, [read_span(line, f"{field}=1,2")])
    assert f"Wages are not taken off these gains: {said}" in vary_answer(line, found).words
