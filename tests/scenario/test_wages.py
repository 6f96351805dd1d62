"""What the crew is paid in a year, worked out on paper."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.scenario import ScenarioFaults, check_mapping
from linesim.scenario.wages import Paid, crew_paid, paid_hours, wages_of_the_crew, yearly_wages

# Three shifts of 8 h on five days in 52 weeks: 6,240 h.
FIVE_DAYS: dict[str, Any] = {
    "calendar": {"shifts_per_day": 3, "days_per_week": 5},
    "crew": {"size": 2},
    "crew_group": [{"name": "by day", "number": 1, "last_shift": 2}],
    "money": {"wage_per_h": 30.0, "hours_per_year": 6240.0},
}


def test_two_at_night_and_three_by_day_on_five_days() -> None:
    """By day 3 people x 2 shifts, at night 2: 8 shifts of 8 h a day are 64 h; 5 days, 52 weeks and
    30 an hour: 64 x 260 x 30 = 499,200. One more on all shifts: 24 x 260 x 30 = 187,200; one more
    by day two thirds of that."""
    line = check_mapping(FIVE_DAYS)
    assert list(crew_paid(line)) == [
        Paid("", 2, 6240.0, 30.0),
        Paid("by day", 1, 4160.0, 30.0),
    ]
    assert wages_of_the_crew(line) == pytest.approx(499_200)
    assert yearly_wages(line) == pytest.approx(187_200)
    assert yearly_wages(line, line.crew_group[0]) == pytest.approx(124_800)


def test_the_same_crew_said_as_two_groups_costs_the_same() -> None:
    groups = [
        {"name": "by day", "number": 3, "last_shift": 2},
        {"name": "at night", "number": 2, "first_shift": 3},
    ]
    line = check_mapping(FIVE_DAYS | {"crew": {"size": 0}, "crew_group": groups})
    assert wages_of_the_crew(line) == pytest.approx(499_200)


def test_nights_and_weekends_have_wages_of_their_own() -> None:
    """Of 21 shifts a week two people work all, one 10 (two shifts, five days), the fitter 7, in
    8,400 hours a year: 2 x 30 x 8400 + 30 x 8400 x 10 / 21 + 42 x 8400 / 3
    = 504,000 + 120,000 + 117,600."""
    line = check_mapping(
        {
            "calendar": {"shifts_per_day": 3, "days_per_week": 7},
            "crew": {"size": 2},
            "crew_group": [
                {"name": "day", "number": 1, "last_shift": 2, "last_day": 5},
                {"name": "fitter", "first_shift": 3, "last_shift": 3, "wage_per_h": 42.0},
            ],
            "money": {"wage_per_h": 30.0, "hours_per_year": 8400.0},
        }
    )
    assert wages_of_the_crew(line) == pytest.approx(741_600)
    assert yearly_wages(line, line.crew_group[1]) == pytest.approx(117_600)


def test_shifts_of_any_length_end_to_end_are_paid_by_their_days() -> None:
    """Shifts of 7 h begin at other hours every day; a group of five days has 5 / 7 of them."""
    line = check_mapping(
        {
            "line": {"shift_hours": 7},
            "crew": {"size": 1},
            "crew_group": [{"name": "weekdays", "last_day": 5}],
            "money": {"hours_per_year": 7000.0, "wage_per_h": 10.0},
        }
    )
    assert paid_hours(line, line.crew_group[0]) == pytest.approx(5000)


def test_groups_with_wages_of_their_own_need_no_others() -> None:
    groups = [{"name": "all day", "number": 2, "wage_per_h": 25.0}]
    line = check_mapping({"crew": {"size": 0}, "crew_group": groups})
    assert wages_of_the_crew(line) == pytest.approx(2 * 25 * 6000)
    assert yearly_wages(line) == 0, "nobody says what one who can do everything is paid"


def test_a_cost_by_the_year_is_of_one_more_person_not_of_the_crew() -> None:
    assert wages_of_the_crew(check_mapping({})) is None
    money = {"person_cost_per_year": 60_000.0, "hours_per_year": 6240.0}
    line = check_mapping(FIVE_DAYS | {"money": money})
    assert wages_of_the_crew(line) is None
    assert yearly_wages(line) == 60_000
    assert yearly_wages(line, line.crew_group[0]) == pytest.approx(40_000)


def test_wages_below_nothing_are_refused() -> None:
    with pytest.raises(ScenarioFaults, match="wage_per_h"):
        check_mapping({"money": {"wage_per_h": -1.0}})
