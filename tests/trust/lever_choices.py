"""How often the search over levers chooses as all combinations would, measured.

    python tests/trust/lever_choices.py [--seeds 20] [--runs 10] [--hours 168] [--truth 200]

Three levers of the slow wrapper, with 3, 4 and 3 places each: wrappers, bridge, web speed. What
each of the 36 combinations is worth is known from many runs of all of them. A choice is right that
is the best of these, or as good: closer to it than the search was told to care about. Fails nobody.
"""

from __future__ import annotations

import argparse
import itertools
from dataclasses import replace

from linesim.scenario import Scenario, find_scenario, load
from linesim.studies import Runner, Settings
from linesim.studies.lever import Lever
from linesim.studies.lever_choice import confirmed
from linesim.studies.lever_search import LeverSearch, Moved
from linesim.studies.levers import levers_of

YEARS = 10.0
PLACES = {"more_wrappers": 2, "longer_bridge": 3, "web_speed": 2}
"""Steps of each lever, beside as it is."""
_TRUTH_SEED = 987_654_321


def line() -> Scenario:
    """The slow wrapper, where up to two wrappers more can be had and the webs can be faster."""
    levers = {"more_wrappers": 2, "most_web_speed_m_per_min": 264, "web_slower_percent": 0}
    return load(find_scenario("slow-wrapper")).varied(levers=levers)


def levers(scenario: Scenario) -> list[Lever]:
    """The three, each with so many steps."""
    known = {each.key: each for each in levers_of(scenario)}
    return [replace(known[key], steps=known[key].steps[:n]) for key, n in PLACES.items()]


def worths(
    scenario: Scenario, runs: int, hours: float, processes: int | None
) -> dict[Moved, float]:
    """Money a year of every combination, capital spread over the years taken off."""
    with Runner(Settings(runs, _TRUTH_SEED, hours, processes=processes)) as runner:
        search = LeverSearch(scenario, runner, levers(scenario), YEARS)
        every = list(itertools.product(*(range(n + 1) for n in PLACES.values())))
        search.run(every)
        return {each: search.value(each) for each in every}


def chosen(
    scenario: Scenario,
    seed: int,
    runs: int,
    hours: float,
    indifference: float,
    processes: int | None,
) -> tuple[Moved, int]:
    """What the search chooses, and how many combinations it tried."""
    with Runner(Settings(runs, seed, hours, processes=processes)) as runner:
        search = LeverSearch(scenario, runner, levers(scenario), YEARS, indifference)
        search.run(
            [search.now]
            + [search.alone(n, i + 1) for n, k in enumerate(PLACES.values()) for i in range(k)]
        )
        return confirmed(search)[0], len(search.rows)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, default=20)
    parser.add_argument("--runs", type=int, default=10)
    parser.add_argument("--hours", type=float, default=168)
    parser.add_argument("--truth", type=int, default=200)
    parser.add_argument("--indifference", type=float, default=8000, help="money a year")
    parser.add_argument("--processes", type=int)
    asked = parser.parse_args()
    scenario = line()
    truth = worths(scenario, asked.truth, asked.hours, asked.processes)
    best = max(truth, key=truth.__getitem__)
    ranked = sorted(truth, key=lambda each: -truth[each])
    print(f"best of 36: {best}, {truth[best]:,.0f} a year; then", end="")
    print(
        ", ".join(f" {each} {truth[each] - truth[best]:,.0f}" for each in ranked[1:4]), flush=True
    )
    right = 0
    for seed in range(1, asked.seeds + 1):
        choice, tried = chosen(
            scenario, seed, asked.runs, asked.hours, asked.indifference, asked.processes
        )
        short = truth[best] - truth[choice]
        good = short <= asked.indifference
        right += good
        print(f"seed {seed}: {choice}, {short:,.0f} short, {tried} combinations tried", flush=True)
    print(f"right with {right} of {asked.seeds} seeds")


if __name__ == "__main__":
    main()
