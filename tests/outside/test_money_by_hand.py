"""Every money figure that studies print, worked out again from the books of single runs.

Two lines: one that sells all it makes in every hour of the week, and one of two shifts on five days
whose market takes less than it could make. Waste is weighed here from web lengths, and money is
valued flow by flow. Nothing of ``linesim.money`` takes part.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from linesim.fast import simulate
from linesim.questions import Question
from linesim.questions.asking import ask
from linesim.report.answers import Answer, Bounded, Figure
from linesim.scenario import Scenario, check_mapping
from linesim.studies.changes import (
    ready_for_more,
    with_another,
    with_bridge,
    with_more_people,
)
from linesim.studies.runner import Settings

RUNS, HOURS, YEARS = 2, 24.0, 10
SEED = 5


def line(money: dict[str, float], **more: Any) -> Scenario:
    return check_mapping(
        {
            "bridge": {"length_m": 7.0, "belt_speed_m_per_min": 45},
            "unwind": {"webs": 5, "change_min": 6, "change_together_below_m": 300},
            "slitter": {"edge_trim_mm": 10},
            "gate": {"cuts_after_stop": 25},
            "web_path": {"breaks_per_100_reels": 4},
            "wrapper": [{"rate_reams_per_min": 30, "spoiled_per_10000": 20}],
            "rework": {"places": 2, "good_chance": 0.5},
            "stop": [{"cause": "wrapper jam"}, {"cause": "controls"}],
            "money": money,
        }
        | more
    )


PRICES = {
    "contribution_per_ream": 0.4,
    "paper_cost_per_t": 820.0,
    "repulp_value_per_t": 120.0,
    "ream_place_cost": 1500.0,
    "wrapper_price": 420_000.0,
    "wrapper_cost_per_year": 35_000.0,
    "person_cost_per_year": 60_000.0,
    "discount_rate": 0.07,
}
ALL_SOLD = line(PRICES | {"hours_per_year": 6000.0})
DEMAND = 5_500_000.0  # it makes 4.9 million now and 6.0 with another wrapper
SHIFTS = line(
    PRICES | {"hours_per_year": 4000.0, "demand_reams_per_year": DEMAND},
    calendar={"shifts_per_day": 2, "days_per_week": 5},
)


def made(scenario: Scenario) -> tuple[float, float]:
    """Mean good reams of a run, and kg of paper lost that need not be, from lengths and counts."""
    reams, kg = [], []
    s = scenario
    sheets_mm = s.slitter.lanes * s.product.sheet_width_mm
    web_mm = sheets_mm + 2 * 10
    gram = s.product.grammage_g_per_m2 / 1000
    ream_kg = s.product.sheets_per_ream * s.product.sheet_width_mm * s.product.sheet_length_mm
    ream_kg *= gram / 1e6
    for n in range(RUNS):
        books = simulate(s, seed=SEED, replication=n, hours=HOURS, history=False).books
        paper = books.paper
        # What is torn, spoiled, left on a core or cut to the gate is lost over its whole width ...
        metres = (paper.broken + paper.spoiled + paper.butts + sum(paper.rejected.values())) / 1e6
        lost = metres * web_mm / 1000 * gram
        # ... and a ream thrown away takes its trim along.
        sheets = books.sheets.spoiled / s.product.sheets_per_ream + books.reams.lost
        kg.append(lost + sheets * ream_kg * web_mm / sheets_mm)
        reams.append(books.reams.good)
    return float(np.mean(reams)), float(np.mean(kg))


def by_hand(scenario: Scenario, changed: Scenario, spent: dict[str, float]) -> dict[str, float]:
    """The terms of the sum and what follows from them, from two sets of runs."""
    manned = HOURS if scenario is ALL_SOLD else 16.0
    runs_a_year = scenario.money.hours_per_year / manned
    demand = scenario.money.demand_reams_per_year
    (now, now_kg), (then, then_kg) = made(scenario), made(changed)

    def sum_of(most: float) -> dict[str, float]:
        sold = [min(each * runs_a_year, most) for each in (now, then)]
        tonnes = [
            sold[0] / now * now_kg / 1000,
            sold[1] / then * then_kg / 1000,
        ]
        found = {
            "more reams sold": sold[1] - sold[0],
            "at 0.4 a ream": (sold[1] - sold[0]) * 0.4,
            "more avoidable waste, t": tonnes[1] - tonnes[0],
            "at 700 a tonne": -(tonnes[1] - tonnes[0]) * 700,
            "wages": -spent.get("wages", 0.0),
            "running cost": -spent.get("running", 0.0),
        }
        money = ("at 0.4 a ream", "at 700 a tonne", "wages", "running cost")
        return found | {"total a year": sum(found[name] for name in money)}

    def worth(most: float) -> float:
        yearly = sum_of(most)["total a year"]
        return sum(yearly / 1.07**year for year in range(1, YEARS + 1)) - spent["capital"]

    sums = sum_of(np.inf if demand is None else demand)
    return sums | {
        "capital": spent["capital"],
        "present value": worth(np.inf if demand is None else demand),
        "payback": spent["capital"] / sums["total a year"],
        "worth at": worth,  # type: ignore[dict-item]
    }


def printed(answer: Answer, change: str) -> dict[str, float]:
    """Means of all money that an answer prints of a change."""

    def mean(cell: Any) -> Any:
        if isinstance(cell, Bounded):
            return cell.value
        return cell.mean if isinstance(cell, Figure) else cell

    tables = {table.name: table for table in answer.tables}
    column = [c.name for c in tables["sum"].columns].index(change)
    found = {str(row[0]): mean(row[column]) for row in tables["sum"].rows}
    row = next(row for row in tables["money"].rows if row[0] == change)
    names = (column.name for column in tables["money"].columns)
    return found | {name: mean(cell) for name, cell in zip(names, row, strict=True)}


@pytest.mark.parametrize("scenario", [ALL_SOLD, SHIFTS], ids=["all is sold", "two shifts"])
def test_money_is_what_the_books_say(scenario: Scenario) -> None:
    settings = Settings(replications=RUNS, seed=SEED, hours=HOURS, processes=1)
    added = ask(Question("add-wrapper"), {"": scenario}, settings)
    sized = ask(
        Question("size-bridge", {"places": "32", "levels": False}), {"": scenario}, settings
    )
    bridge, base = "a bridge of 32 places, 10.6 m (now 21)", ready_for_more(scenario)
    changes: list[tuple[Answer, str, Scenario, dict[str, float]]] = [
        (
            added,
            "one more wrapper",
            with_another(base),
            {"capital": 420_000.0, "running": 35_000.0},
        ),
        (added, bridge, with_bridge(scenario, 32), {"capital": 11 * 1500.0}),
        (
            added,
            "one more person",
            with_more_people(scenario, 1),
            {"capital": 0.0, "wages": 60_000.0},
        ),
        (sized, "32 places", with_bridge(scenario, 32), {"capital": 11 * 1500.0}),
    ]
    for answer, change, changed, spent in changes:
        said, expected = printed(answer, change), by_hand(scenario, changed, spent)
        worth: Any = expected.pop("worth at")
        for name, value in expected.items():
            if said[name] is None:
                # Not told, or never: what does not earn is never paid back.
                assert name == "payback"
                continue
            assert said[name] == pytest.approx(value, rel=1e-6, abs=1e-3), (change, name)
        demand = said["break-even demand"]
        if demand is not None:
            assert worth(demand) == pytest.approx(0, abs=1.0)
