"""Is a hidden line found that counts reams and no kilometres of web, though its wrapper holds it?

    python tests/trust/hours_of_webs.py --fits 29 --weeks 2

The hidden line is the demo ``slow-wrapper`` with a slower wrapper, and nothing slows its webs: they
stand blocked a third of the time. Each fit is of another stretch of it: its log, every stop, and
its reams by shift. It is fitted into the line itself, and into the demo with other stop causes: too
many stops of the wrapper, too few of the webs. Printed for each cause of the webs on running hours
is the mean of the fits beside the truth, what it was when waiting counted as running, and how many
good reams the fitted lines make.
"""

from __future__ import annotations

import argparse
import statistics
from collections import defaultdict

import tests_of_this_clone  # noqa: F401

from linesim.fast import simulate
from linesim.plant.causes_matched import match_causes
from linesim.plant.fitting import CauseFit, Fitter
from linesim.plant.into_scenario import as_law, why_not_written
from linesim.scenario import WEB_STATIONS, Scenario, load, shipped_scenarios
from tests.plant.hidden import log_of, reams_of, watched

DEMO = load(shipped_scenarios()["slow-wrapper"])
HIDDEN = DEMO.varied(
    bridge={"slow_at_reams": None},
    wrapper=[DEMO.wrapper[0].model_dump(exclude_none=True) | {"rate_reams_per_min": 22}],
)
HOURS = 168.0


def other_line() -> Scenario:
    """The demo with stop causes as somebody might have guessed them."""
    stops = []
    for stop in DEMO.stop:
        data = stop.model_dump(exclude_none=True)
        law = dict(data[stop.meter])
        if "mean" in law:
            law["mean"] *= 0.5 if stop.station == "wrapper" else 2.0
        stops.append(data | {stop.meter: law})
    return DEMO.varied(stop=stops)


def with_fits(scenario: Scenario, fits: list[CauseFit]) -> Scenario:
    """The scenario with what was fitted in it."""
    stops = [stop.model_dump(exclude_none=True) for stop in scenario.stop]
    for fit in fits:
        if not why_not_written(fit) and fit.matched.place is not None:
            stops[fit.matched.place].pop(scenario.stop[fit.matched.place].meter)
            stops[fit.matched.place][fit.meter.field] = as_law(fit.interval)
            stops[fit.matched.place]["restore_min"] = as_law(fit.restore_min)
    return scenario.varied(stop=stops)


def reams(scenario: Scenario, runs: int) -> list[float]:
    """Good reams of so many weeks."""
    return [
        float(
            simulate(scenario, seed=5, replication=n, hours=HOURS, history=False).books.reams.good
        )
        for n in range(runs)
    ]


def told(values: list[float]) -> str:
    """Mean and half width of its 95 % interval."""
    half = 2.05 * statistics.stdev(values) / len(values) ** 0.5 if len(values) > 1 else float("nan")
    return f"{statistics.mean(values):.2f} ± {half:.2f}"


def main() -> None:
    """Fit, and print."""
    asked = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    asked.add_argument("--fits", type=int, default=29)
    asked.add_argument("--weeks", type=float, default=2.0)
    asked.add_argument("--runs", type=int, default=4, help="weeks of each fitted line")
    given = asked.parse_args()
    lines = {"the line itself": HIDDEN, "another line": other_line()}
    found: dict[tuple[str, str], list[float]] = defaultdict(list)
    gained: dict[str, list[float]] = defaultdict(list)
    truth = {
        stop.cause: stop.interval.average()
        for stop in HIDDEN.stop
        if stop.station in WEB_STATIONS and stop.meter == "every_running_h"
    }
    as_it_is = statistics.mean(reams(HIDDEN, given.runs))
    for seed in range(1, given.fits + 1):
        record = watched(HIDDEN, shifts=round(given.weeks * 21), seed=1000 + seed)
        log, planned = log_of(record), reams_of(record)
        for name, scenario in lines.items():
            causes = match_causes(log.stops, scenario)
            fitter = Fitter(causes, planned, scenario, resamples=2)
            fits = [fitter.fit(cause) for cause in causes]
            once_more = with_fits(scenario, fits)
            again = Fitter(match_causes(log.stops, once_more), planned, once_more, resamples=2)
            refits = [again.fit(cause) for cause in again.causes]
            bare = Fitter(causes, [type(p)(p.start, p.end) for p in planned], scenario, resamples=2)
            for fit in fits:
                found[name, fit.matched.cause].append(fit.interval.mean)
                if fit.matched.cause in truth:
                    before = bare.fit(fit.matched)
                    found["as it was", fit.matched.cause].append(before.interval.mean)
            for fit in refits:
                found[f"{name}, twice", fit.matched.cause].append(fit.interval.mean)
            if name != "the line itself":
                # Its rates are others by themselves: reams say nothing of the fit.
                continue
            for words, line in (
                (name, once_more),
                (f"{name}, twice", with_fits(once_more, refits)),
            ):
                gained[words].append(
                    100 * (statistics.mean(reams(line, given.runs)) / as_it_is - 1)
                )
        print(f"{seed} of {given.fits}", flush=True)
    for cause, mean in truth.items():
        print(f"{cause}: {mean:g} h is true")
        for (name, of), values in found.items():
            if of == cause:
                print(f"    {name}: {told(values)} h")
    for name, values in gained.items():
        print(f"good reams of lines fitted into {name}: {told(values)} % more than the hidden line")


if __name__ == "__main__":
    main()
