"""A part changed by plan or when it fails: Barlow and Proschan, on paper and on the line."""

from __future__ import annotations

from math import gamma
from typing import Any

import numpy as np
import pytest

from linesim.fast import simulate
from linesim.record import State
from linesim.scenario.laws import law_of
from linesim.studies.age_replacement import AgeReplacement

WEIBULL = {"law": "weibull", "mean": gamma(4 / 3), "shape": 3}
"""Scale 1."""
LAWS = {
    "weibull": WEIBULL,
    "lognormal": {"law": "lognormal", "mean": 1, "sd": 0.3},
    "gamma": {"law": "gamma", "mean": 1, "sd": 0.4},
    "uniform": {"law": "uniform", "low": 0.2, "high": 1.8},
    "triangular": {"law": "triangular", "low": 0, "mode": 1, "high": 2},
    "empirical": {"law": "empirical", "values": [0.5, 1, 1.1, 1.2]},
    "constant": 1,
}


def worn(law: Any, planned: float = 1, failed: float = 5) -> AgeReplacement:
    found = law_of(law)
    assert found is not None
    return AgeReplacement(found, planned, failed)


def test_weibull_of_shape_3() -> None:
    """c_p 1, c_f 5: T* = 0.50261, 3.03140 an hour; run to failure 5.59923."""
    found = worn(WEIBULL)
    best = found.best_age()
    assert best == pytest.approx(0.50261, abs=5e-6)
    assert found.lost_per_unit(best) == pytest.approx(3.03140, abs=5e-6)
    assert found.lost_per_unit(None) == pytest.approx(5.59923, abs=5e-6)


@pytest.mark.parametrize("law", LAWS)
def test_no_age_loses_less_than_the_best(law: str) -> None:
    found = worn(LAWS[law])
    best = found.best_age()
    assert best is not None
    ages = np.linspace(0.01, 2.5, 4000)
    least = min(found.lost_per_unit(float(age)) for age in ages)
    assert found.lost_per_unit(best) <= least * (1 + 1e-9)


@pytest.mark.parametrize(
    ("law", "planned"),
    [
        ({"law": "exponential", "mean": 1}, 1),
        ({"law": "weibull", "mean": 1, "shape": 1}, 1),
        ({"law": "weibull", "mean": 1, "shape": 0.7}, 1),
        (WEIBULL, 5),
        (WEIBULL, 7),
    ],
)
def test_where_parts_do_not_wear_or_a_change_costs_as_much_no_plan_pays(
    law: Any, planned: float
) -> None:
    assert worn(law, planned).best_age() is None


@pytest.mark.parametrize("every", [0.3, 0.50261, 0.9, None])
def test_the_line_loses_what_the_formula_says(
    every: float | None, line: Any, estimated: Any
) -> None:
    """Minutes lost for each hour that the webs run, where nothing else stops them."""
    part = {"cause": "knives", "station": "cutter", "every_running_h": WEIBULL, "people": 0}
    plan = {} if every is None else {"changed_every": every, "change_min": 1}
    scenario = line(
        cutter={"web_speed_m_per_min": 1},
        product={"sheets_per_ream": 2000},
        stop=[part | plan | {"restore_min": 5}],
    )
    lost = []
    for run in range(20):
        record = simulate(scenario, seed=5, replication=run, hours=2500, history=False)
        cutter = record.station("cutter")
        hours = record.hours_in(cutter, State.RUNNING)
        stood = sum(record.hours_in(cutter, state) for state in (State.DOWN, State.CHANGEOVER))
        assert hours + stood == pytest.approx(2500)
        lost.append(60 * stood / hours)
    estimated(lost).must_be(worn(WEIBULL).lost_per_unit(every))
