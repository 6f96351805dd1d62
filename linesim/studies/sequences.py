"""Orders in another sequence: by due date, by least time between them, or as somebody says."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Sequence

from linesim.scenario import Scenario
from linesim.scenario.goods import Goods, goods_of
from linesim.scenario.laws import AnyLaw
from linesim.scenario.order_tables import Grade, Size
from linesim.scenario.shifts import pauses
from linesim.scenario.units import HOUR, MINUTE, UM_PER_NS

Order = tuple[int, ...]
"""Places in the scenario's list of orders, 0 for the first, as they are made."""

_TRIED_ALL = 8
"""Kinds of goods up to which every sequence is tried."""
_SHARE_OF_RATED = 0.45
_MOST_HOURS = 20_000.0


class SequenceError(ValueError):
    """A sequence that is none of the orders of the scenario."""


def as_written(scenario: Scenario) -> Order:
    """The sequence of the file."""
    return tuple(range(len(scenario.order)))


def by_due_date(scenario: Scenario) -> Order:
    """What is due first comes first; what has no due time comes last, as written."""
    return tuple(sorted(as_written(scenario), key=lambda n: (_due_h(scenario, n), n)))


def read_sequence(scenario: Scenario, text: str) -> Order:
    """Numbers of the orders, 1 for the first of the file: ``3,1,2``. Raises SequenceError."""
    count = len(scenario.order)
    try:
        found = tuple(int(part) - 1 for part in text.split(","))
    except ValueError:
        found = ()
    if sorted(found) != list(range(count)):
        raise SequenceError(
            f"{text!r} is no sequence of the {count} orders; right would be each number from 1 to"
            f" {count} once, with commas between, such as"
            f" {','.join(str(n + 1) for n in reversed(range(count)))}"
        )
    return found


def reordered(scenario: Scenario, order: Order) -> Scenario:
    """The scenario with its orders in that sequence."""
    return scenario.model_copy(update={"order": tuple(scenario.order[n] for n in order)})


def minutes_between(scenario: Scenario, before: Goods, after: Goods) -> float:
    """Mean time of the change-over, min; 0 where nothing changes. People and waiting left out.

    Of two changes of which the longer counts, the longer mean.
    """
    table = scenario.changeover
    if before == after:
        return 0.0
    pairs = {(pair.before, pair.after): pair.time_min for pair in scenario.changeover_pair}

    def pair(named: Sequence[Grade] | Sequence[Size], one: int, other: int) -> AnyLaw | None:
        known = one >= 0 and other >= 0
        return pairs.get((named[one].name, named[other].name)) if known else None

    sheets = [(each.cut_um, each.sheet_width_um, each.lanes) for each in (before, after)]
    grades = [(each.grade, each.thickness_um, each.grammage_mg_per_m2) for each in (before, after)]
    grade_pair = pair(scenario.grade, before.grade, after.grade)
    grade = (grade_pair or table.grade_min).average() if grades[0] != grades[1] else 0.0
    only_wrapping = sheets[0] == sheets[1]
    if only_wrapping and before.size == after.size:
        return grade
    law = table.size_min
    if only_wrapping:
        law = table.wrapping_min or law
    elif before.cut_um == after.cut_um:
        law = table.lanes_min or law
    size = (pair(scenario.size, before.size, after.size) or law).average()
    if table.grade_with_size == "afterwards":
        return size + grade
    return max(size, grade) if only_wrapping or grade_pair is not None else size


def change_over_minutes(scenario: Scenario, order: Order) -> float:
    """Mean minutes of all change-overs of a sequence; the line is set for its first order."""
    goods = [goods_of(scenario, scenario.order[n]) for n in order]
    return sum(minutes_between(scenario, a, b) for a, b in itertools.pairwise(goods))


def least_change_over(scenario: Scenario) -> Order:
    """The sequence with the least change-over time; of several the one that is late least.

    Orders of the same goods stay together, by due date. Up to eight kinds of goods every
    sequence is tried. Beyond, sequences are grown by the nearest neighbour from every start and
    mended by moving and turning stretches round: good, not shown to be the best.
    """
    goods = [goods_of(scenario, order) for order in scenario.order]
    kinds: dict[Goods, list[int]] = {}
    for n in by_due_date(scenario):
        kinds.setdefault(goods[n], []).append(n)
    names = list(kinds)
    table = [[minutes_between(scenario, a, b) for b in names] for a in names]

    def flat(way: Sequence[int]) -> Order:
        return tuple(n for kind in way for n in kinds[names[kind]])

    def cost(way: Sequence[int]) -> tuple[float, float]:
        minutes = sum(table[a][b] for a, b in itertools.pairwise(way))
        return round(minutes, 6), _late_by_rated_speed(scenario, goods, flat(way))

    count = len(names)
    if count <= _TRIED_ALL:
        return flat(min(itertools.permutations(range(count)), key=cost, default=()))
    best = min((_nearest(table, start) for start in range(min(count, 50))), key=cost)
    return flat(_mended(best, cost) if count <= 60 else best)


def _nearest(table: Sequence[Sequence[float]], start: int) -> list[int]:
    way, left = [start], [n for n in range(len(table)) if n != start]
    while left:
        way.append(min(left, key=lambda n: (table[way[-1]][n], n)))
        left.remove(way[-1])
    return way


def _mended(way: list[int], cost: Callable[[Sequence[int]], tuple[float, float]]) -> list[int]:
    best, price = way, cost(way)
    found = True
    while found:
        found = False
        for a, b in itertools.combinations(range(len(best) + 1), 2):
            turned = best[:a] + best[a:b][::-1] + best[b:]
            if cost(turned) < price:
                best, price, found = turned, cost(turned), True
    return best


def _late_by_rated_speed(scenario: Scenario, goods: Sequence[Goods], order: Order) -> float:
    """Total lateness in hours if the line ran at its rated speed all the time: to break ties."""
    now = late = 0.0
    for place, n in enumerate(order):
        if place:
            now += minutes_between(scenario, goods[order[place - 1]], goods[n]) / 60
        now = max(now, scenario.released_h(scenario.order[n]))
        now += rated_hours(scenario, goods[n], scenario.order[n].reams)
        due = scenario.due_h(scenario.order[n])
        late += max(0.0, now - due) if due is not None else 0.0
    return late


def rated_hours(scenario: Scenario, goods: Goods, reams: int) -> float:
    """Hours to make the reams at the rated speed of sheeter, wrappers or packer."""
    metres_per_min = goods.speed / UM_PER_NS
    cuts_per_min = metres_per_min * 1e6 / goods.cut_um
    sheeter = cuts_per_min / goods.cuts_per_ream * goods.lanes
    slowest = MINUTE / goods.wrap_ns if goods.wrap_ns else math.inf
    wrappers = sum(min(wrapper.rate_reams_per_min, slowest) for wrapper in scenario.wrapper)
    return reams / min(sheeter, wrappers, _packed_per_min(scenario, goods)) / 60


def _packed_per_min(scenario: Scenario, goods: Goods) -> float:
    slowest = MINUTE / goods.carton_ns if goods.carton_ns else math.inf
    packers = scenario.carton_packer
    each = (p.reams_per_carton * min(p.rate_cartons_per_min, slowest) for p in packers)
    return sum(each) if packers else math.inf


def hours_to_be_safe(scenario: Scenario, order: Order) -> float:
    """Hours by the calendar within which the orders should be done, with a wide margin.

    Taken for less than half of the rated speed and twice the change-over times; whole days.
    """
    goods = [goods_of(scenario, each) for each in scenario.order]
    working = sum(rated_hours(scenario, goods[n], scenario.order[n].reams) for n in order)
    released = max((scenario.released_h(each) for each in scenario.order), default=0.0)
    needed = working / _SHARE_OF_RATED + 2 * change_over_minutes(scenario, order) / 60 + 4
    hours = 24.0 * math.ceil(needed / 24)
    while hours < _MOST_HOURS:
        stands = sum(
            min(pause.end, hours * HOUR) - pause.start
            for pause in pauses(scenario, round(hours * HOUR))
        )
        if hours - stands / HOUR >= needed and hours - released >= needed:
            break
        hours += 24.0
    return min(hours, _MOST_HOURS)


def _due_h(scenario: Scenario, n: int) -> float:
    due = scenario.due_h(scenario.order[n])
    return math.inf if due is None else due
