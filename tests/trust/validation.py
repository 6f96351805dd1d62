"""How often ``validate`` speaks against a model that is right, and against one that is not.

    python tests/trust/validation.py [--lines short-bridge ...] [--models 5] [--plants 8]
        [--log-weeks 2] [--weeks 3]

A model is a demo line with some weeks of a hidden plant's log in it. It is held against further
weeks, of which nothing is in it: of the hidden plant itself, and of other plants that agree with
what the model says is known. The wrong model is the same with the interval of its wrapper jam, and
its ends, a third longer or shorter. Prints how often the counts spoke against it, how often the
stop log did where it was given, and how often that named the jam. Fails nobody.
"""

from __future__ import annotations

import argparse
import re
import sys
from collections import Counter
from collections.abc import Iterator

import numpy as np
import tests_of_this_clone  # noqa: F401

from linesim.fast import simulate
from linesim.plant.production import ProductionCount
from linesim.plant.stops_compared import LoggedStop
from linesim.plant.validate import validate
from linesim.record import Record
from linesim.record.ripple import stop_events
from linesim.scenario import Scenario, check_text, doubted, drawn, shipped_scenarios, without_doubt
from linesim.scenario.changed_law import scaled
from linesim.scenario.doubts import with_correlations
from linesim.scenario.field_descriptions import as_written
from linesim.statistics import exact_proportion
from linesim.studies.runner import Runner, Settings
from tests.plant.make_plant import NOT_LOGGED, SHIFT_H, clock
from tests.trust.plant_trial import LINES, SHIFTS_A_WEEK, fitted_line, hidden_plant

JAM = "wrapper jam"
FACTORS = {"right": 1.0, "jam interval a third longer": 4 / 3, "a third shorter": 2 / 3}
RUNS = 20
Row = tuple[str, str, dict[str, bool]]
"""Model, whose weeks, and what spoke against the model."""


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--lines", nargs="+", choices=LINES, default=LINES)
    parser.add_argument("--models", type=int, default=5, help="of each line")
    parser.add_argument("--plants", type=int, default=8, help="of each model")
    parser.add_argument("--log-weeks", type=int, default=2)
    parser.add_argument("--weeks", type=int, default=3)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    found: dict[tuple[str, str], Counter[str]] = {}
    for number in range(asked.models):
        for line in asked.lines:
            seed = [asked.seed, number, LINES.index(line)]
            for model, whose, spoke in trials(
                line, seed, asked.log_weeks, asked.weeks, asked.plants
            ):
                for name in ("all", line):
                    counter = found.setdefault((f"{model}, {whose}", name), Counter())
                    counter.update(number=1, **spoke)
            print(f"{line}, model {number + 1} of {asked.models}", file=sys.stderr, flush=True)
    names = list(next(iter(found.values())))
    print(f"| Model, weeks of | Line | {' | '.join(names)} |")
    print("| --- " * (len(names) + 2) + "|")
    for (what, line), counter in sorted(found.items()):
        n = counter["number"]
        cells = [str(n), *(_share(counter[name], n) for name in names[1:])]
        print(f"| {what} | {line} | {' | '.join(cells)} |")


def _share(count: int, n: int) -> str:
    share = exact_proportion(count, n)
    return f"{100 * share.value:.1f} ({100 * share.low:.1f} to {100 * share.high:.1f})"


def trials(line: str, seed: list[int], log_weeks: int, weeks: int, plants: int) -> Iterator[Row]:
    """One model of a line, right and wrong, against the hidden plant and others that agree."""
    rng = np.random.default_rng(seed)
    text = shipped_scenarios()[line].read_text(encoding="utf-8")
    hidden = hidden_plant(check_text(text, file=line), rng)
    model, _, _ = fitted_line(text, hidden, log_weeks, rng, _number(rng))
    watched = [("the hidden plant", weeks_of(hidden, weeks, _number(rng)))]
    for _ in range(plants):
        watched.append(("plants that agree", weeks_of(agreeing(model, rng), weeks, _number(rng))))
    seed_of_runs = _number(rng)
    for name, factor in FACTORS.items():
        settings = Settings(replications=RUNS, seed=seed_of_runs, processes=1)
        with Runner(settings) as runner:
            (stated,) = runner.as_stated({"": with_other_jam(model, factor)}).values()
            for whose, (counts, log) in watched:
                said = validate(stated, runner, counts, log=log)
                assert said.stops is not None
                off = [each.cause for each in said.stops.causes if each.off]
                yield (
                    name,
                    whose,
                    {
                        "counts": not said.matches,
                        "totals": not said.totals_agree,
                        "within bands": not said.spread_agrees,
                        "stops": bool(off),
                        "jam named": JAM in off,
                        "any": not said.matches or bool(off),
                    },
                )


def _number(rng: np.random.Generator) -> int:
    return int(rng.integers(2**31))


def agreeing(model: Scenario, rng: np.random.Generator) -> Scenario:
    """A plant that agrees with what the model says is known, drawn at random."""
    figures = doubted(model)
    own = dict(zip((each.name for each in figures), rng.normal(size=len(figures)), strict=True))
    return drawn(without_doubt(model), figures, with_correlations(figures, own))


def with_other_jam(model: Scenario, factor: float) -> Scenario:
    """The model with another interval of the wrapper jam, as sure of it as before."""
    stops = []
    for stop in model.stop:
        data = stop.model_dump(exclude_none=True)
        if stop.cause == JAM:
            data[stop.meter] = scaled(as_written(stop.interval), factor)
            for doubt in data["doubt"]:
                if doubt["of"] in (stop.meter, f"{stop.meter}.sd"):
                    doubt["between"] = [factor * end for end in doubt["between"]]
        stops.append(data)
    return model.varied(stop=stops)


def weeks_of(
    plant: Scenario, weeks: int, seed: int
) -> tuple[tuple[ProductionCount, ...], list[LoggedStop]]:
    """What the plant counts, and the stops that it writes down."""
    shifts = weeks * SHIFTS_A_WEEK
    record = simulate(plant, seed=seed, hours=shifts * SHIFT_H, buckets=shifts)
    counts = tuple(
        ProductionCount(clock(n * SHIFT_H), clock((n + 1) * SHIFT_H - 1e-9), reams, None, n + 2)
        for n, reams in enumerate(record.good_per_bucket)
    )
    return counts, list(_logged(record))


def _logged(record: Record) -> Iterator[LoggedStop]:
    for event in stop_events(record):
        cause = re.sub(r" \(web \d+\)$", "", record.causes[event.cause])
        if cause not in NOT_LOGGED:
            start = clock((event.start_ns - record.start_ns) / 3.6e12)
            yield LoggedStop(start, event.length_ns / 6e10, record.stations[event.station], cause)


if __name__ == "__main__":
    main()
