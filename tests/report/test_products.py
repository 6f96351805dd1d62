"""Effectiveness by product, where a person meets it: terminal, page, JSON."""

from __future__ import annotations

import json

from linesim.report import json_text, product_table, run_text
from linesim.report.page.evidence import losses_part
from linesim.report.page.model import Grid
from linesim.report.run_tables import PRODUCTS
from linesim.studies.replications import Replicated, replicate
from tests.line.calm_line import calm

# 320 reams at 32 a minute take 600 s; then the change; then 30 of another length at 12 a minute.
ORDERS = [
    {"name": "small", "reams": 320},
    {"name": "large", "reams": 30, "sheet_length_mm": 600, "lanes": 3},
]


def runs(hours: float, **tables) -> Replicated:
    return replicate(calm(**tables), hours=hours, replications=2)


def ordered(hours: float) -> Replicated:
    return runs(hours, order=ORDERS, changeover={"size_min": 10, "people": 0})


def test_each_product_has_its_reams_and_factors():
    table = product_table(ordered(0.6))
    assert table is not None
    small, large = table.rows
    assert (small[0], large[0]) == ("small", "large")
    assert (small[1], large[1]) == ("320", "30")
    assert small[2] == "49.7 %"  # 600 s of 600, 7.x until the line is empty, and 600 of change
    assert large[2] == "100 %"


def test_they_stand_in_text_page_and_json():
    result = ordered(0.6)
    assert PRODUCTS in run_text(result)
    blocks = losses_part(result, on_page_one=False).blocks
    titles = [block.title for _, block in blocks if isinstance(block, Grid)]
    assert f"{PRODUCTS} (ISO 22400-2)" in titles
    products = json.loads(json_text(result))["products"]
    assert products["large"]["good_reams"]["mean"] == 30
    assert products["large"]["availability"]["mean"] == 1


def test_without_orders_nothing_is_said_of_products():
    result = runs(0.2)
    assert product_table(result) is None
    assert PRODUCTS not in run_text(result)
    assert json.loads(json_text(result))["products"] == {}


def test_a_product_that_a_run_does_not_come_to_has_no_row():
    table = product_table(ordered(0.1))
    assert table is not None
    assert [row[0] for row in table.rows] == ["small"]
