"""Grades, sizes, change-overs by pair and releases on lines drawn at random."""

from __future__ import annotations

from itertools import permutations
from random import Random
from typing import Any


def with_names(seed: int, tables: dict[str, Any]) -> dict[str, Any]:
    """The same line, on four of ten with grades and sizes by name; with luck of its own."""
    luck = Random(f"grades and sizes {seed}")
    if luck.random() > 0.4:
        return tables
    data = tables | {"grade": _grades(luck, tables), "size": _sizes(luck, tables)}
    if "order" not in data:
        data["product"] = data["product"] | {"grade": "thin", "size": luck.choice(["a", "b"])}
        return data
    data["order"] = [_order(luck, order) for order in data["order"]]
    data["changeover_pair"] = [
        _pair(luck, data, before, after)
        for table in ("grade", "size")
        for before, after in permutations([each["name"] for each in data[table]], 2)
        if luck.random() < 0.5
    ]
    if luck.random() < 0.5:
        data["changeover"] = data["changeover"] | {"wrapping_min": luck.choice([0, 3])}
    return data


def _grades(luck: Random, tables: dict[str, Any]) -> list[dict[str, Any]]:
    speed = tables["cutter"]["web_speed_m_per_min"]
    thin = {"name": "thin", "web_speed_m_per_min": speed * luck.choice([0.5113, 0.7717, 1.5])}
    if luck.random() < 0.6:
        thin["breaks_per_100_reels"] = luck.choice([0, 300, 1500])
    return [thin, {"name": "thick"}]


def _sizes(luck: Random, tables: dict[str, Any]) -> list[dict[str, Any]]:
    sizes: list[dict[str, Any]] = [{"name": "a"}, {"name": "b"}]
    rates = [w["rate_reams_per_min"] for w in tables["wrapper"] if "wrap_s" not in w]
    if rates and luck.random() < 0.7:
        sizes[0]["wrapper_rate_reams_per_min"] = min(rates) * luck.choice([0.6131, 0.9177, 1.4])
    if "carton_packer" in tables:
        packers = tables["carton_packer"]
        first = packers[0] if isinstance(packers, list) else packers
        rate = first["rate_cartons_per_min"]
        sizes[0]["packer_rate_cartons_per_min"] = rate * luck.choice([0.6717, 1.3])
    return sizes


def _order(luck: Random, order: dict[str, Any]) -> dict[str, Any]:
    order = dict(order)
    for field, names in (("grade", ["thin", "thick"]), ("size", ["a", "b"])):
        if luck.random() < 0.7:
            order[field] = luck.choice(names)
    if luck.random() < 0.3:
        order["released_h"] = luck.choice([0.1, 0.6])
    return order


def _pair(luck: Random, data: dict[str, Any], before: str, after: str) -> dict[str, Any]:
    law = {"law": "lognormal", "mean": luck.choice([2, 9]), "sd": 1.5}
    pair: dict[str, Any] = {"before": before, "after": after, "time_min": luck.choice([0, law])}
    if luck.random() < 0.5:
        pair["people"] = luck.randint(0, min(2, data["crew"]["size"]))
    return pair
