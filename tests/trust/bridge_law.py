"""Where theory says that more bridge never lowers output, and where it says no such thing.

A tandem of stations with finite buffers, blocked after the work: with the same work in the same
order at each station, every piece leaves every station no later when a buffer grows. The moments
follow from maxima and sums of earlier moments alone, and a larger buffer takes away a term of a
maximum (I. Adan and J. van der Wal, *Monotonicity of the throughput in single server production
and assembly networks with respect to the buffer sizes*, 1989; J. G. Shanthikumar and D. D. Yao,
1989; P. Glasserman and D. D. Yao, *Monotone Structure in Discrete-Event Systems*, 1994; all from
memory). A stop that falls due on what its own station has done is part of the work of the piece in
hand, so the law covers operation-dependent failures.

It ends where the work of a piece depends on when it comes, or on what stands elsewhere. Each entry
of ``BEYOND`` brings one such thing into a tandem line.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from random import Random

import numpy as np

from linesim.fast import simulate
from linesim.record import Record
from linesim.scenario import ScenarioFaults
from tests.trust.wider_line import Tables, scenario_of, tandem_tables

HOURS = 1.2
TIMES_MORE = (3,)
ROUNDING_NS = 1000
"""Places and moments are rounded to um and ns at every start of the webs: it adds up to less."""


def _stop_by_clock(tables: Tables, luck: Random) -> None:
    station = luck.choice(["cutter", "transfer", "wrapper"])
    stop = {"cause": "power", "station": station, "people": 0, "restore_min": 3}
    tables["stop"].append(stop | {"every_clock_h": {"law": "exponential", "mean": 0.3}})


def _few_people(tables: Tables, luck: Random) -> None:
    tables["crew"] = {"size": 1}
    tables["web_path"] |= {"rethread_people": 1}
    for stop in tables["stop"]:
        stop["people"] = 1
    for station in ("cutter", "wrapper"):
        jam = {"cause": f"jam of {station}", "station": station, "people": 1}
        jam["restore_min"] = {"law": "exponential", "mean": 3}
        jam["every_running_h"] = {"law": "exponential", "mean": 0.3}
        tables["stop"].append(jam)


def _levels(tables: Tables, luck: Random) -> None:
    places = tables["bridge"]["places"]
    tables["bridge"] |= {"stop_at_reams": places, "restart_at_reams": luck.randrange(places)}


def _slowing(tables: Tables, luck: Random) -> None:
    tables["bridge"] |= {
        "slow_at_reams": luck.randint(1, tables["bridge"]["places"]),
        "slow_to_fraction": 0.5,
    }


def _catching_up(tables: Tables, luck: Random) -> None:
    tables["bridge"] |= {
        "catch_up_at_reams": luck.randint(1, tables["bridge"]["places"]),
        "catch_up_factor": 1.3,
    }


def _cost_of_restarts(tables: Tables, luck: Random) -> None:
    tables["gate"]["cuts_after_stop"] = 100
    tables["web_path"] |= {"break_chance_at_restart": 0.1}


def _ramps(tables: Tables, luck: Random) -> None:
    tables["cutter"] |= {"run_up_m_per_min_per_s": 5, "run_down_m_per_min_per_s": 30}


def _spoiling(tables: Tables, luck: Random) -> None:
    for stop in tables["stop"]:
        web = stop["station"] not in ("transfer", "wrapper", "outfeed")
        stop |= {"spoils_pockets": True} if web else {"spoils_reams": 5}
    jam = {"cause": "crash", "station": "wrapper", "people": 0, "spoils_reams": 10}
    tables["stop"].append(jam | {"every_reams": {"law": "exponential", "mean": 100}})
    tables["stop"][-1]["restore_min"] = 2


def _held_back(tables: Tables, luck: Random) -> None:
    tables["overlap_belt"] = {"hold_cuts": 200}
    stop = {"cause": "by reams", "station": "cutter", "people": 0, "restore_min": 3}
    tables["stop"].append(stop | {"every_reams": {"law": "exponential", "mean": 100}})


def _belt_stops(tables: Tables, luck: Random) -> None:
    stop = {"cause": "belt", "station": "bridge", "people": 0, "restore_min": 2}
    tables["stop"].append(stop | {"every_reams": {"law": "exponential", "mean": 100}})


def _several_wrappers(tables: Tables, luck: Random) -> None:
    first = tables["wrapper"][0]
    tables["wrapper"] = [
        first | {"name": "quick"},
        first | {"name": "slow", "rate_reams_per_min": first["rate_reams_per_min"] / 3},
    ]
    tables["divert"] = {"rule": luck.choice(["in_turn", "nearest_free"])}


def _breaks(tables: Tables, luck: Random) -> None:
    tables["break"] = [{"start_h": 0.7, "minutes": 20}]


def _prepared_stands(tables: Tables, luck: Random) -> None:
    tables["unwind"] |= {"stands_per_web": 2, "change": "flying_splice"}


def _set_aside(tables: Tables, luck: Random) -> None:
    tables["bridge"]["when_full"] = "set_aside"


def _orders(tables: Tables, luck: Random) -> None:
    sizes = [{"sheet_length_mm": 420}, {"lanes": 1}, {}]
    tables["order"] = [
        {"name": f"order {n}", "reams": luck.choice([200, 900])} | luck.choice(sizes)
        for n in range(12)
    ]
    tables["changeover"] = {"grade_min": 5, "size_min": 10, "people": 0}


BEYOND: dict[str, Callable[[Tables, Random], None]] = {
    "stops by the clock": _stop_by_clock,
    "crew of one": _few_people,
    "stop and restart level": _levels,
    "slowing by level": _slowing,
    "catching up by level": _catching_up,
    "rejects and breaks at restarts": _cost_of_restarts,
    "run-up and run-down": _ramps,
    "stops that spoil": _spoiling,
    "stops of the webs by reams, cuts held back": _held_back,
    "stops of the belt": _belt_stops,
    "two unlike wrappers": _several_wrappers,
    "breaks of the crew": _breaks,
    "flying splices": _prepared_stands,
    "reams set aside when full": _set_aside,
    "orders, run empty between sizes": _orders,
}


@dataclass(frozen=True)
class Compared:
    """Reams wrapped with less and with more bridge, and ``later_ns``: by how much the latest ream
    was later with more."""

    wrapped: tuple[int, int]
    later_ns: int


def with_more_bridge(seed: int, beyond: str = "") -> list[Compared]:
    """A tandem line with its bridge, and with more: each next to the one before."""
    luck, tables = Random(seed), tandem_tables(seed)
    if beyond:
        BEYOND[beyond](tables, luck)
    bridge = dict(tables["bridge"])
    runs = []
    for times in (1, *TIMES_MORE):
        # More room on the same belt: a longer one would take longer to cross.
        pitch = bridge["ream_pitch_mm"] / times
        tables["bridge"] |= {"places": bridge["places"] * times, "ream_pitch_mm": pitch}
        try:
            scenario = scenario_of(tables)
        except ScenarioFaults:
            return []  # what was brought in does not go with the rest
        runs.append(simulate(scenario, seed=seed, hours=HOURS))
    return [_compared(less, more) for less, more in pairwise(runs)]


def _compared(less: Record, more: Record) -> Compared:
    assert less.history is not None
    assert more.history is not None
    one, other = np.sort(less.history.ream_end_ns), np.sort(more.history.ream_end_ns)
    both = min(len(one), len(other))
    later = int((other[:both] - one[:both]).max(initial=0))
    return Compared((sum(less.wrapped_by), sum(more.wrapped_by)), later)


def more_bridge(seed: int) -> list[str]:
    """No ream of a tandem line is finished later for more bridge, and no fewer are finished."""
    found = []
    for each in with_more_bridge(seed):
        less, more = each.wrapped
        if more < less:
            found.append(f"{more} reams instead of {less} with more bridge")
        elif each.later_ns > ROUNDING_NS:
            found.append(f"a ream is {each.later_ns / 1e9:.6f} s later with more bridge")
    return found
