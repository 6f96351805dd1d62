"""Changing the kind of a law keeps what can be kept."""

from typing import Any

import pytest

from linesim.scenario import check_mapping, law_curve, law_descriptions, law_like
from linesim.scenario.changed_law import with_mean

GIVEN: list[Any] = [
    6,
    {"law": "lognormal", "mean": 6, "sd": 2},
    {"law": "exponential", "mean": 900},
    {"law": "triangular", "low": 0, "mode": 1, "high": 5},
    {"law": "empirical", "values": [3, 3, 3]},
]


@pytest.mark.parametrize("name", [law.name for law in law_descriptions()])
@pytest.mark.parametrize("value", GIVEN)
def test_the_mean_stays_and_the_result_is_legal(value: Any, name: str) -> None:
    new = law_like(value, name)
    before, after = law_curve(value), law_curve(new)
    assert before is not None
    assert after is not None
    assert after.mean == pytest.approx(before.mean, rel=0.01)
    check_mapping({"transfer": {"carry_s": new}})


def test_the_spread_stays_where_there_is_room() -> None:
    assert law_like({"law": "gamma", "mean": 6, "sd": 2}, "lognormal")["sd"] == pytest.approx(
        2, rel=0.02
    )
    assert law_like({"law": "exponential", "mean": 9}, "weibull")["shape"] == pytest.approx(
        1, rel=0.02
    )


def test_what_is_no_law_starts_from_one() -> None:
    assert law_like("often", "exponential") == {"law": "exponential", "mean": 1.0}


def test_a_law_keeps_its_shape_when_scaled() -> None:
    law = {"law": "triangular", "low": 1.0, "mode": 2.0, "high": 6.0}
    assert with_mean(law, 6.0) == {"law": "triangular", "low": 2.0, "mode": 4.0, "high": 12.0}
    assert with_mean({"law": "constant", "mean": 0.0}, 3.0) == 3.0
