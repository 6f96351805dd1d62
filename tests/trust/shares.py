"""How near shares of what is not known come to the truth on the slow wrapper, measured.

    python tests/trust/shares.py [--runs 30] [--seeds 6] [--replications 20] [--hours 168]

Every stop cause of the line is doubted as two weeks of log would leave it, the wrapper's speed by
judgement. The truth is what each figure does when it alone is moved by one normal score, up and
down with the same random numbers, in so many runs; it is held against what ``run`` says with each
seed. Fails nobody.
"""

from __future__ import annotations

import argparse
import math
from typing import Any

import numpy as np

from linesim.fast import simulate
from linesim.scenario import (
    Doubted,
    Scenario,
    check_mapping,
    doubted,
    drawn,
    find_scenario,
    load,
    without_doubt,
)
from linesim.studies import replicate

DAYS = 14.0
USED = 0.7
"""Share of these days in which a station moves."""
_A_MIN = {
    "every_running_h": 1 / 60,
    "every_web_km": 0.2,
    "every_cuts": 700,
    "every_reams": 29,
    "every_clock_h": 1 / 60,
}
"""What a meter moves on in a minute of the slow wrapper, roughly: how often a cause comes."""


def doubtful(causes: tuple[str, ...] = ()) -> Scenario:
    """The slow wrapper with these causes doubted, all unless some are named."""
    line = load(find_scenario("slow-wrapper"))
    data = line.model_dump(mode="json", by_alias=True, exclude_unset=True)
    for raw, stop in zip(data["stop"], line.stop, strict=True):
        if causes and stop.cause not in causes:
            continue
        copies = line.unwind.webs if stop.per_web else 1
        minutes = DAYS * 24 * 60 * USED
        count = round(copies * minutes * _A_MIN[stop.meter] / stop.interval.average())
        restore, stops = stop.restore_min.average(), max(1, count)
        sd = min(restore, getattr(stop.restore_min, "sd", restore))
        raw["doubt"] = [
            _of(stop.meter, stop.interval.average(), 1 / math.sqrt(stops), stops),
            _of("restore_min", restore, sd / restore / math.sqrt(stops), stops),
        ]
    data["wrapper"][0]["doubt"] = [{"of": "rate_reams_per_min", "between": [33.0, 35.0]}]
    return check_mapping(data)


def _of(field: str, value: float, relative: float, stops: int) -> dict[str, Any]:
    factor = math.exp(1.96 * relative)
    between = [value / factor, value * factor]
    return {"of": field, "between": between, "stops": stops, "days": DAYS}


def group(figure: Doubted) -> str:
    """What stands on one line of the list."""
    return figure.entry if figure.table == "stop" else f"{figure.entry}: {figure.field}"


def true_shares(line: Scenario, runs: int, hours: float, seed: int = 77) -> dict[str, float]:
    """Shares of main effects, by moving each figure alone."""
    figures, stated = doubted(line), without_doubt(line)
    found: dict[str, float] = {}
    for each in figures:
        made = [
            np.mean(
                [
                    _reams(drawn(stated, (each,), {each.name: z}), seed, n, hours)
                    for n in range(runs)
                ]
            )
            for z in (1.0, -1.0)
        ]
        found[group(each)] = found.get(group(each), 0.0) + float(made[0] - made[1]) ** 2 / 4
    whole = sum(found.values())
    return {name: each / whole for name, each in found.items()}


def _reams(line: Scenario, seed: int, number: int, hours: float) -> int:
    record = simulate(line, seed=seed, replication=number, hours=hours, history=False)
    return record.books.reams.good


def found_shares(
    line: Scenario, replications: int, hours: float, seed: int
) -> dict[str, tuple[float, float, float]]:
    """What ``run`` says: each share and its ends."""
    found = replicate(line, replications=replications, hours=hours, seed=seed).what_to_measure()
    assert found is not None
    return {group(each.figures[0]): (each.share, each.low, each.high) for each in found.ranked}


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--runs", type=int, default=30)
    parser.add_argument("--seeds", type=int, default=6)
    parser.add_argument("--replications", type=int, default=20)
    parser.add_argument("--hours", type=float, default=168.0)
    asked = parser.parse_args()
    line = doubtful()
    truth = true_shares(line, asked.runs, asked.hours)
    found = [
        found_shares(line, asked.replications, asked.hours, seed + 1) for seed in range(asked.seeds)
    ]
    print("| Doubt | Truth, % | Found, % (least to most) | Ends held the truth |")
    print("| --- | --- | --- | --- |")
    for name in sorted(truth, key=lambda each: -truth[each])[:8]:
        said = [each[name] for each in found]
        shares = [100 * share for share, _, _ in said]
        held = sum(low <= truth[name] <= high for _, low, high in said)
        middle = f"{np.mean(shares):.0f} ({min(shares):.0f} to {max(shares):.0f})"
        print(f"| {name} | {100 * truth[name]:.0f} | {middle} | {held} of {len(said)} |")


if __name__ == "__main__":
    main()
