"""Lines drawn at random whose reels are as plants buy and handle them."""

from __future__ import annotations

from random import Random
from typing import Any

from linesim.scenario import Scenario, check_mapping
from tests.line.any_line import any_tables, handled_tables, legal_tables
from tests.line.named_goods import with_names


def any_bought(seed: int) -> Scenario:
    """A line with a width as bought, bad reels, joints at places, reels changed together or taken
    again: with some of them, most often."""
    return check_mapping(with_names(seed, legal_tables(seed, bought_tables)))


def bought_tables(luck: Random) -> dict[str, Any]:
    """Tables of such a line; they may contradict each other."""
    pick = luck.choice
    data = handled_tables(luck) if luck.random() < 0.3 else any_tables(luck)
    reels, unwind = data["reels"], data["unwind"]
    if luck.random() < 0.6:
        lanes = [order["lanes"] for order in data.get("order", ()) if "lanes" in order]
        data["slitter"].pop("edge_trim_mm")
        reels["width_mm"] = 210 * max(lanes, default=data["slitter"]["lanes"]) + pick(
            [6, 30, 143.7]
        )
        reels["width_mm"] = max(reels["width_mm"], 210 * data["slitter"]["lanes"] + 6)
    if luck.random() < 0.6:
        reels |= {"bad_share": pick([0.05, 0.4, 1]), "bad_breaks_factor": pick([1, 5, 40])}
        data["web_path"]["breaks_per_100_reels"] = pick([5, 300])
    if luck.random() < 0.4:
        places = luck.sample([1.9, 17.3, 240.1, 611.77, 900], pick([1, 3]))
        reels |= {"mill_joints_per_reel": 0, "mill_joints_at_m": places}
    if luck.random() < 0.6:
        unwind.pop("change_together_below_m")
        reels["diameter_sd_mm"] = pick([0, 4, 20])
    if luck.random() < 0.5:
        reels.pop("at_start")
    if "order" in data:
        data["changeover"]["part_reels"] = pick(["taken_again", "taken_again", "left"])
        for order in data["order"]:
            if luck.random() < 0.3:
                order["reel_width_mm"] = 210 * order.get("lanes", data["slitter"]["lanes"]) + 40
            order["reams"] = min(order["reams"], 200)
        data["order"] += [order | {"name": f"again {n}"} for n, order in enumerate(data["order"])]
    return data
