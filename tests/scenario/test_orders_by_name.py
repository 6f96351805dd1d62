"""Grades and sizes by name: whose figures count, and what cannot be true together."""

from __future__ import annotations

from itertools import count
from typing import Any

import pytest

from linesim.record.capacity import line_rates, reference
from linesim.record.web_stops import reel_loads
from linesim.scenario import Scenario, check_mapping, contradictions
from linesim.scenario.faults import dotted
from linesim.scenario.goods import sizes_of

A4 = {"name": "A4"}
A3 = {"name": "A3", "sheet_width_mm": 297, "sheet_length_mm": 420, "lanes": 3}
THIN = {"name": "thin", "grammage_g_per_m2": 60, "thickness_um": 80}
START = {"starts": "2026-03-02 06:00"}
NUMBERS = count(1)


def order(**fields: Any) -> dict[str, Any]:
    return {"name": f"order {next(NUMBERS)}", "reams": 100} | fields


def test_an_order_has_the_figures_of_its_names_and_else_those_of_the_product() -> None:
    line = check_mapping(
        {
            "product": {"grade": "thin"},
            "grade": [THIN, {"name": "other"}],
            "size": [A3],
            "slitter": {"lanes": 5},
            "order": [order(size="A3"), order(lanes=2, size="A3"), order(thickness_um=90)],
        }
    )
    named, fewer, own = (sizes_of(line, each) for each in line.order)
    assert (named.sheet_width_mm, named.lanes, named.thickness_um) == (297, 3, 80)
    assert (fewer.sheet_length_mm, fewer.lanes) == (420, 2)
    assert (own.sheet_width_mm, own.lanes, own.thickness_um) == (210, 5, 90)
    assert own.grammage_g_per_m2 == 60


def test_the_product_of_a_name_goes_by_it_in_copies_too() -> None:
    """A copy with another grammage of the grade is another product: the figure is not written."""
    line = check_mapping(
        {"product": {"grade": "thin", "size": "A3"}, "grade": [THIN], "size": [A3]}
    )
    assert (line.product.grammage_g_per_m2, line.slitter.lanes, line.set_reams) == (60, 3, 3)
    assert line.model_dump(by_alias=True)["product"].get("thickness_um") is None
    again = check_mapping(line.model_dump(by_alias=True, exclude_none=True))
    assert again.product == line.product
    heavier = line.varied(grade=(THIN | {"grammage_g_per_m2": 65},))
    assert heavier.product.grammage_g_per_m2 == 65


def test_rates_are_those_of_each_product() -> None:
    """Five webs: 100 cuts a ream. A4 in 5 lanes at 250 m/min: 250 / 0.297 / 100 x 5 = 42.088
    reams a minute; A3 in 3 lanes at 210 m/min: 15 a minute, wrapped at 9 a minute at most. Of half
    the reams each, the sheeter's mean is that of the times: 2 / (1/42.088 + 1/15) = 22.1174;
    the wrapper's is 2 / (1/30 + 1/9) = 13.846.
    """
    slow = A3 | {"web_speed_m_per_min": 210, "wrapper_rate_reams_per_min": 9}
    line = check_mapping({"size": [A4, slow], "order": [order(size="A4"), order(size="A3")]})
    rates = {rate.station: rate.rated for rate in line_rates(line)}
    assert rates["sheeter"] == pytest.approx(22.1174, abs=1e-4)
    assert rates["wrappers"] == pytest.approx(13.8462, abs=1e-4)
    assert reference(line).station == "wrappers"


def test_a_carton_packer_is_rated_by_its_product() -> None:
    """Ten of twelve cartons a minute, five reams each."""
    line = check_mapping(
        {
            "size": [A4 | {"packer_rate_cartons_per_min": 10}],
            "product": {"size": "A4"},
            "carton_packer": {"rate_cartons_per_min": 12},
        }
    )
    rates = {rate.station: rate.rated for rate in line_rates(line)}
    assert rates["carton_packer"] == pytest.approx(50)


def test_breaks_are_those_of_the_grades_by_the_metres_run() -> None:
    """Two grades of one thickness, 2 and 10 breaks per 100 reels, in equal reams of one size: six
    on average, as the line has them that has six of its own."""
    table = {"speed_reference_m_per_min": 250}
    mixed = check_mapping(
        {
            "grade": [
                {"name": "good", "breaks_per_100_reels": 2},
                {"name": "bad", "breaks_per_100_reels": 10},
            ],
            "order": [order(grade="good"), order(grade="bad")],
            "web_path": table,
        }
    )
    plain = check_mapping({"web_path": table | {"breaks_per_100_reels": 6}})
    found = [reel_loads(line, 250)[1].per_running_min for line in (mixed, plain)]
    assert found[0] == pytest.approx(found[1])
    assert found[0] > 0


CLASHES: dict[str, tuple[dict[str, Any], str, str]] = {
    "no such grade": (
        {"grade": [THIN], "order": [order(grade="thinn")]},
        "order[0].grade",
        '"thin"; one of thin',
    ),
    "no such size, and none at all": (
        {"product": {"size": "A4"}},
        "product.size",
        "a table [[size]]",
    ),
    "a grade and another grammage": (
        {"grade": [THIN], "order": [order(grade="thin", grammage_g_per_m2=75)]},
        "order[0].grammage_g_per_m2",
        "60, or left out",
    ),
    "a size and another sheet": (
        {"size": [A3], "product": {"size": "A3", "sheet_width_mm": 210}},
        "product.sheet_width_mm",
        "297, or left out",
    ),
    "a size and other lanes": (
        {"size": [A3], "product": {"size": "A3"}, "slitter": {"lanes": 5}},
        "slitter.lanes",
        "3, or left out",
    ),
    "a name twice": ({"grade": [THIN], "size": [{"name": "thin"}]}, "size[0].name", "of its own"),
    "a limit of wrapping by hand": (
        {"wrapper": [{"wrap_s": 2}], "size": [A4 | {"wrapper_rate_reams_per_min": 10}]},
        "size[0].wrapper_rate_reams_per_min",
        "a wrapper with a rated speed",
    ),
    "a limit of no packer": (
        {"grade": [THIN | {"packer_rate_cartons_per_min": 10}]},
        "grade[0].packer_rate_cartons_per_min",
        "[carton_packer]",
    ),
    "a pair of a grade and a size": (
        {
            "grade": [THIN],
            "size": [A4],
            "changeover_pair": [{"before": "thin", "after": "A4", "time_min": 1}],
        },
        "changeover_pair[0].after",
        "two grades, or two sizes",
    ),
    "a pair of nothing known": (
        {"size": [A4], "changeover_pair": [{"before": "A4", "after": "A3", "time_min": 1}]},
        "changeover_pair[0].after",
        "A4",
    ),
    "a pair of one": (
        {"size": [A4], "changeover_pair": [{"before": "A4", "after": "A4", "time_min": 1}]},
        "changeover_pair[0].after",
        "another grade or size",
    ),
    "a pair twice": (
        {
            "size": [A4, A3],
            "changeover_pair": [{"before": "A4", "after": "A3", "time_min": n} for n in (1, 2)],
        },
        "changeover_pair[1].after",
        "the way back",
    ),
    "more people than there are": (
        {
            "size": [A4, A3],
            "crew": {"size": 2},
            "changeover_pair": [{"before": "A4", "after": "A3", "time_min": 1, "people": 3}],
        },
        "changeover_pair[0].people",
        "at most 2",
    ),
    "a date twice": (
        {"calendar": START, "order": [order(due="2026-03-03 06:00", due_h=4)]},
        "order[0].due",
        "not both",
    ),
    "a date without a start": (
        {"order": [order(released="2026-03-03 06:00")]},
        "order[0].released",
        "starts in [calendar]",
    ),
    "no such day": (
        {"calendar": START, "order": [order(due="2026-02-30 06:00")]},
        "order[0].due",
        "year, month",
    ),
    "due before the start": (
        {"calendar": START, "order": [order(due="2026-03-01 06:00")]},
        "order[0].due",
        "a later date",
    ),
    "due before it is released": (
        {"calendar": START, "order": [order(due_h=4, released="2026-03-02 11:00")]},
        "order[0].due_h",
        "after its release",
    ),
}


@pytest.mark.parametrize("what", CLASHES)
def test_what_cannot_be_true_together_is_said(what: str) -> None:
    tables, field, right = CLASHES[what]
    found = contradictions(Scenario.model_validate(tables))
    assert [dotted(clash.path) for clash in found] == [field]
    assert right in found[0].would_be_right
