"""How often the webs stand for reels and breaks, from the scenario alone."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from linesim import paper
from linesim.record.products import products
from linesim.scenario import Scenario
from linesim.scenario.handling_tables import ReelTruck
from linesim.scenario.reels_together import are_changed_together

_STEPS = 400

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
    if are_changed_together(scenario):
        standing, splices = changes / unwind.webs, 0.0
        each = _all_changed_min(scenario) / unwind.webs
    elif unwind.change == "standing_change":
        each, standing, splices = unwind.change_min.average(), changes, 0.0
    elif unwind.change == "standstill_splice":
        each, standing, splices = unwind.splice_min.average(), changes, changes
    else:
        slow = min(unwind.splice_speed_m_per_min, speed)
        each = unwind.splice_length_m * (1 / slow - 1 / speed)
        standing, splices = 0.0, changes
    in_a_reel = sum(at < length for at in reels.mill_joints_at_m) or reels.mill_joints_per_reel
    joints = in_a_reel * changes
    faster = (speed / path.speed_reference_m_per_min) ** path.speed_exponent
    webs_m = unwind.webs * speed
    breaks = (
        webs_m * _breaks_per_m(scenario) * faster
        + splices * (unwind.splice_fail_chance + path.break_chance_at_splice)
        + joints * path.break_chance_at_joint
    )
    found = [
        Load("reel change", changes * each, stops_per_running_min=standing),
        Load("web break", breaks * _rethread_min(scenario), stops_per_running_min=breaks),
    ]
    truck = scenario.reel_truck
    if truck is not None and truck.places is None and unwind.change == "standing_change":
        # Without another stand the webs wait for every reel.
        found.append(Load(REEL_TRUCK, changes * _brought_min(scenario, truck)))
    return found


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
    """What of it is not left on the core; of reels changed together, the shortest."""
    length = _reel_m(scenario)
    left = scenario.unwind.butt_length_m
    if are_changed_together(scenario):
        left += _shorter_m(scenario, length)
    return max(length - left, 1.0)


def _shorter_m(scenario: Scenario, length_m: float) -> float:
    """By how much the shortest of reels that go on together is to be expected below their mean.

    Of n values of a normal law the greatest is about (n - 3/8) / (n + 1/4) of the way up (G. Blom,
    1958); the length of a reel spreads by pi D / (2 t) for that of its diameter.
    """
    webs, reels = scenario.unwind.webs, scenario.reels
    ring = reels.diameter_mm**2 - reels.core_diameter_mm**2
    spread_m = length_m * 2 * reels.diameter_mm * reels.diameter_sd_mm / ring
    return spread_m * NormalDist().inv_cdf((webs - 0.375) / (webs + 0.25))


def _all_changed_min(scenario: Scenario) -> float:
    """Minutes in which all reels are changed by as many as are at the line.

    Full turns take the mean, the last one the longest of the changes that are made side by side.
    """
    unwind = scenario.unwind
    turns, last = divmod(unwind.webs - 1, _changed_at_once(scenario))
    steps = np.arange(0.5, _STEPS) / _STEPS
    longest = unwind.change_min.quantile(steps ** (1 / (last + 1)))
    return turns * unwind.change_min.average() + float(np.mean(longest))


def _changed_at_once(scenario: Scenario) -> int:
    """Webs that are changed side by side by as many as are at the line."""
    unwind = scenario.unwind
    if not unwind.change_people:
        return unwind.webs
    return min(unwind.webs, max(1, scenario.crew.size // unwind.change_people))


def _brought_min(scenario: Scenario, truck: ReelTruck) -> float:
    """Minutes for each reel in which the webs stand for trucks, beyond what the changes take.

    Of reels that are changed together the first comes before any is changed; the rest come while
    others are changed, and hold those up only where they take longer.
    """
    if not are_changed_together(scenario):
        return truck.mean_min
    webs = scenario.unwind.webs
    more_turns = (webs - 1) // truck.trucks
    meanwhile = (webs - 1) // _changed_at_once(scenario) * scenario.unwind.change_min.average()
    return (truck.mean_min + max(0.0, more_turns * truck.mean_min - meanwhile)) / webs


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
