"""The web is as wide as it is bought: what the lanes leave of it is trim."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.fast import simulate
from linesim.record.paper_use import paper_use
from linesim.scenario import Scenario, check_mapping, contradictions
from linesim.scenario.faults import dotted
from linesim.scenario.goods import goods_of
from tests.line.calm_line import calm

SIX = {"slitter": {"lanes": 6}}
WIDE: dict[str, Any] = SIX | {"reels": {"width_mm": 1290}}


def order(name: str, **own: Any) -> dict[str, Any]:
    return {"name": name, "reams": 500} | own


def test_the_trim_is_what_the_lanes_leave() -> None:
    """1,290 mm less six lanes of 210 mm: 30 mm, 15 at each edge."""
    goods = goods_of(Scenario.model_validate(WIDE))
    assert (goods.web_width_um, goods.trim_um) == (1_290_000, 30_000)


def test_what_is_said_of_neither_is_ten_at_each_edge() -> None:
    assert goods_of(Scenario.model_validate(SIX)).web_width_um == 1_280_000
    said = Scenario.model_validate({"slitter": {"lanes": 6, "edge_trim_mm": 10}})
    assert goods_of(said) == goods_of(Scenario.model_validate(SIX))


def test_orders_on_the_same_reels_leave_trims_of_their_own() -> None:
    """1,290 mm: 6 x 210 leave 30, 5 x 250 leave 40, and 5 x 210 on a web of 1,075 leave 25."""
    line = check_mapping(
        WIDE
        | {
            "order": [
                order("a"),
                order("b", lanes=5, sheet_width_mm=250),
                order("c", lanes=5, reel_width_mm=1075),
            ]
        }
    )
    made = [goods_of(line, each) for each in line.order]
    assert [goods.trim_um for goods in made] == [30_000, 40_000, 25_000]
    assert [goods.web_width_um for goods in made] == [1_290_000, 1_290_000, 1_075_000]


def test_other_lanes_on_the_same_web_keep_their_reels() -> None:
    """5 x 250 after 6 x 210 on one width: nothing goes back. By lanes and trim it would."""
    orders = [
        order("a", reams=60, lanes=4),
        order("b", reams=60, lanes=3, sheet_width_mm=270),
    ]
    bought = calm(slitter={"edge_trim_mm": None}, reels={"width_mm": 860}, order=orders)
    assert simulate(bought, hours=2).books.paper.returned == 0
    assert simulate(calm(order=orders), hours=2).books.paper.returned > 0


def test_paper_is_lost_by_the_width_as_bought() -> None:
    """Four lanes of 210 mm on 900 mm: of the paper cut, 60 / 900 are edge trim."""
    line = calm(slitter={"edge_trim_mm": None}, reels={"width_mm": 900})
    record = simulate(line, hours=1)
    used = paper_use(record)
    trim = used.lost_kg["edge trim"]
    assert trim / (used.good_reams_kg + used.on_the_line_kg + trim) == pytest.approx(60 / 900)


CLASHES: dict[str, tuple[dict[str, Any], str, str]] = {
    "too narrow for the lanes": (
        SIX | {"reels": {"width_mm": 1240}},
        "reels.width_mm",
        "1266 mm or more",
    ),
    "too little trim": (SIX | {"reels": {"width_mm": 1264}}, "reels.width_mm", "1266 mm or more"),
    "another trim": (
        {"slitter": {"lanes": 6, "edge_trim_mm": 10}, "reels": {"width_mm": 1400}},
        "reels.width_mm",
        "or 1280 mm",
    ),
    "an order with more lanes": (
        WIDE | {"order": [order("a"), order("b", lanes=7)]},
        "reels.width_mm",
        "1476 mm or more",
    ),
    "an order on narrow reels": (
        WIDE | {"order": [order("a"), order("b", reel_width_mm=1000)]},
        "order[1].reel_width_mm",
        "1266 mm or more",
    ),
    "joints at places, and so many anywhere": (
        {"reels": {"mill_joints_at_m": [900], "mill_joints_per_reel": 0.3}},
        "reels.mill_joints_per_reel",
        "one of the two",
    ),
    "a joint beyond the end of the reel": (
        {"reels": {"mill_joints_at_m": [900, 11_800]}},
        "reels.mill_joints_at_m",
        "below 11,756 m",
    ),
    "a joint where the reel begins": (
        {"reels": {"mill_joints_at_m": [0, 900]}},
        "reels.mill_joints_at_m",
        "above 0 m",
    ),
    "two joints at one place": (
        {"reels": {"mill_joints_at_m": [900, 70, 900]}},
        "reels.mill_joints_at_m",
        "each place once",
    ),
    "a wide web is a heavy reel": (
        SIX | {"reels": {"width_mm": 3000}},
        "reels.diameter_mm",
        "stand_limit_kg",
    ),
}


@pytest.mark.parametrize("name", CLASHES)
def test_a_width_that_cannot_be_is_a_fault(name: str) -> None:
    data, field, right = CLASHES[name]
    found = contradictions(Scenario.model_validate(data))
    assert [dotted(clash.path) for clash in found] == [field]
    assert right in found[0].would_be_right


@pytest.mark.parametrize(("width", "trim"), [(1280, 10), (1260, 0), (1266, None)])
def test_a_width_that_agrees_passes(width: float, trim: float | None) -> None:
    slitter = {"lanes": 6, "edge_trim_mm": trim}
    line = Scenario.model_validate({"slitter": slitter, "reels": {"width_mm": width}})
    assert contradictions(line) == []
