"""How often the webs stand for reels and breaks, from the scenario alone."""

from __future__ import annotations

import math
from dataclasses import dataclass

from linesim import paper
from linesim.record.products import products
from linesim.scenario import Scenario

REEL_TRUCK = "reel truck"


@dataclass(frozen=True)
class Load:
    """Minutes a cause takes: per minute of running, or per minute by the clock."""

    cause: str
    per_running_min: float = 0.0
    per_clock_min: float = 0.0
    stops_per_running_min: float = 0.0


def reel_loads(scenario: Scenario, speed: float) -> list[Load]:
    """Reel changes and web breaks, each reel run from its nominal diameter to its butt."""
    unwind, path, reels = scenario.unwind, scenario.web_path, scenario.reels
    length = _reel_m(scenario)
    changes = unwind.webs * speed / _used_m(scenario)
    if unwind.change == "standing_change":
        each, standing, splices = unwind.change_min.average(), changes, 0.0
    elif unwind.change == "standstill_splice":
        each, standing, splices = unwind.splice_min.average(), changes, changes
    else:
        slow = min(unwind.splice_speed_m_per_min, speed)
        each = unwind.splice_length_m * (1 / slow - 1 / speed)
        standing, splices = 0.0, changes
    truck, brought = scenario.reel_truck, 0.0
    if truck is not None and truck.places is None and unwind.change == "standing_change":
        brought = truck.mean_min  # without another stand the webs wait for every reel
    in_a_reel = sum(at < length for at in reels.mill_joints_at_m) or reels.mill_joints_per_reel
    joints = in_a_reel * changes
    faster = (speed / path.speed_reference_m_per_min) ** path.speed_exponent
    webs_m = unwind.webs * speed
    breaks = (
        webs_m * _breaks_per_m(scenario) * faster
        + splices * (unwind.splice_fail_chance + path.break_chance_at_splice)
        + joints * path.break_chance_at_joint
    )
    return [
        Load("reel change", changes * each, stops_per_running_min=standing),
        Load(REEL_TRUCK, changes * brought),
        Load("web break", breaks * _rethread_min(scenario), stops_per_running_min=breaks),
    ]


def _breaks_per_m(scenario: Scenario) -> float:
    """Of one web, at the reference speed: the mean over the metres run for all products."""
    made, webs = products(scenario), scenario.unwind.webs
    metres = [product.share * product.web_m_per_ream(webs) for product in made]
    total = sum(product.breaks_per_m * m for product, m in zip(made, metres, strict=True))
    return total / sum(metres)


def reels_brought_m_per_min(scenario: Scenario) -> float:
    """Web of all reels together, m, that trucks bring a minute; infinite where none do."""
    truck = scenario.reel_truck
    if truck is None or truck.mean_min == 0:
        return math.inf
    return truck.trucks * _used_m(scenario) / truck.mean_min


def _reel_m(scenario: Scenario) -> float:
    """Length of a fresh reel of nominal diameter."""
    reels = scenario.reels
    return sum(
        product.share
        * paper.reel_length_m(reels.diameter_mm, reels.core_diameter_mm, product.thickness_um)
        for product in products(scenario)
    )


def _used_m(scenario: Scenario) -> float:
    """What of it is not left on the core."""
    return max(_reel_m(scenario) - scenario.unwind.butt_length_m, 1.0)


def _rethread_min(scenario: Scenario) -> float:
    path = scenario.web_path
    held = path.clamp_holds_chance
    return held * path.rethread_held_min.average() + (1 - held) * path.rethread_lost_min.average()


def with_breaks_at_restart(scenario: Scenario, loads: list[Load]) -> list[Load]:
    """Every restart may break a web, and that break is followed by a restart of its own."""
    chance = min(0.95, scenario.unwind.webs * scenario.web_path.break_chance_at_restart)
    starts = sum(load.stops_per_running_min for load in loads) / (1 - chance)
    extra = starts * chance
    return [*loads, Load("web break", extra * _rethread_min(scenario))]
