"""The choice among what a search over levers found: on luck that nothing was chosen by."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from linesim.statistics import paired_interval
from linesim.statistics.selection import not_out
from linesim.studies.lever_search import LeverSearch, Moved, Rows, worth_by_luck
from linesim.studies.runner import StoppedError

_CONTENDERS = 6
_BATCHES = 3


def confirmed(search: LeverSearch) -> tuple[Moved, list[Moved], dict[Moved, Rows]]:
    """The best of the search's contenders on fresh luck, those as good, and all fresh runs.

    Of those that are shown to be as good it is the one that costs least.
    """
    best = search.search()
    ways = search.in_order(best)
    frontier = _thinned(search.frontier())
    contenders = _contenders(search, best)
    fresh: dict[Moved, Rows] = {}
    inside, first = contenders, 0
    for batch in range(_BATCHES):
        wanted = {search.now, *inside, *(([*ways, *frontier]) if batch == 0 else ())}
        for moved, rows in search.fresh(sorted(wanted), batch).items():
            fresh[moved] = (*fresh.get(moved, ()), *rows)
        if search.runner.interrupted:
            raise StoppedError
        values = [_values(search, fresh, each) for each in contenders]
        first = first or min(map(len, values))
        inside = [contenders[n] for n in not_out(values, search.indifference, first)]
        if len(inside) == 1:
            break
    best = max(inside, key=lambda each: _fresh_value(search, fresh, each))
    good = [each for each in contenders if _is_as_good(search, fresh, each, best)]
    chosen = min(good, key=lambda m: (search.capital(m), sum(map(bool, m))))
    chosen = _without_idle_steps(search, fresh, chosen)
    there = [chosen, *inside]
    others = [
        each
        for each in inside
        if not any(_has_all_of(each, other) for other in there if other != each) and each != chosen
    ]
    return chosen, others, fresh


def _has_all_of(moved: Moved, other: Moved) -> bool:
    """Whether it is the other and more: no choice of its own."""
    return all(a == b for a, b in zip(moved, other, strict=True) if b)


def _without_idle_steps(search: LeverSearch, fresh: dict[Moved, Rows], chosen: Moved) -> Moved:
    """The way to it without steps that are not shown to bring anything on fresh luck."""
    while any(chosen):
        way = search.in_order(chosen)
        new = [each for each in way if each not in fresh]
        if new:
            fresh |= search.fresh(new, 0)
        idle = [
            (before, then)
            for before, then in pairwise(way)
            if not _brings_more(_values(search, fresh, then), _values(search, fresh, before))
        ]
        if not idle:
            break
        before, then = idle[-1]
        chosen = tuple(0 if a != b else at for a, b, at in zip(before, then, chosen, strict=True))
    return chosen


def _is_as_good(search: LeverSearch, fresh: dict[Moved, Rows], moved: Moved, best: Moved) -> bool:
    """Whether it is shown to fall no further short of the best than anybody cares about.

    Shown, not estimated: of those that look so the cheapest would lie beyond every other time.
    """
    own, of_best = _values(search, fresh, moved), _values(search, fresh, best)
    both = min(len(own), len(of_best))
    short = paired_interval(of_best[:both], own[:both]).interval
    return moved == best or short.high <= search.indifference


def _brings_more(then: Sequence[float], before: Sequence[float]) -> bool:
    both = min(len(then), len(before))
    return paired_interval(then[:both], before[:both]).interval.low > 0


def _contenders(search: LeverSearch, best: Moved) -> list[Moved]:
    """The best on the luck of the search, and the next that it is not shown to beat there."""
    of_best = search.values(best)
    near = []
    for each in search.rows:
        if each == best or not search.can_be_had(each):
            continue
        apart = of_best - search.values(each)
        if apart.mean() <= 2 * apart.std(ddof=1) / np.sqrt(len(apart)):
            near.append(each)
    near.sort(key=lambda each: -search.value(each))
    return [best, *near[: _CONTENDERS - 1]]


def _thinned(frontier: Sequence[Moved]) -> list[Moved]:
    """No more than so many of them, the ends among them."""
    count = min(len(frontier), _CONTENDERS)
    places = np.linspace(0, len(frontier) - 1, count).round().astype(int)
    return [frontier[n] for n in dict.fromkeys(places.tolist())]


def _values(search: LeverSearch, fresh: dict[Moved, Rows], moved: Moved) -> list[float]:
    then = fresh[moved]
    now = fresh[search.now][: len(then)]
    found: list[float] = worth_by_luck(search, then, now, moved).tolist()
    return found


def _fresh_value(search: LeverSearch, fresh: dict[Moved, Rows], moved: Moved) -> float:
    return float(np.mean(_values(search, fresh, moved)))


def frontier_of(
    search: LeverSearch, fresh: dict[Moved, Rows], chosen: Moved
) -> tuple[list[Moved], bool]:
    """Of what was run afresh, cheapest first: what is shown to be worth more than the one before.

    The first is the line as it is. What is chosen is always among them; whether that, too, is
    shown to be worth more than the one before is the second.
    """
    found, shown = [search.now], True
    for moved in sorted(fresh, key=lambda m: (search.capital(m), -_fresh_value(search, fresh, m))):
        more = _brings_more(_values(search, fresh, moved), _values(search, fresh, found[-1]))
        if moved == chosen:
            shown = more
        if more or (moved == chosen and chosen != search.now):
            found.append(moved)
    return found, shown
