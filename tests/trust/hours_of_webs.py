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
from collections import Counter

import tests_of_this_clone  # noqa: F401

from linesim.fast import simulate
from linesim.plant.causes_matched import match_causes
from linesim.plant.fitting import CauseFit, Fitter
from linesim.plant.into_scenario import as_law, times_written, why_not_written
from linesim.plant.running_meter import Planned
from linesim.scenario import WEB_STATIONS, Scenario, load, shipped_scenarios
from linesim.statistics.counts import exact_rate
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
            stated = scenario.stop[fit.matched.place]
            stops[fit.matched.place]["restore_min"] = times_written(fit, stated)
    return scenario.varied(stop=stops)


def reams(scenario: Scenario, runs: int) -> list[float]:
    """Good reams of so many weeks."""
    return [
        float(
            simulate(scenario, seed=5, replication=n, hours=HOURS, history=False).books.reams.good
        )
        for n in range(runs)
    ]


def main() -> None:
    """Fit, and print."""
    asked = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    asked.add_argument("--fits", type=int, default=29)
    asked.add_argument("--weeks", type=float, default=2.0)
    asked.add_argument("--runs", type=int, default=4, help="weeks of each fitted line")
    given = asked.parse_args()
    lines = {"fitted into the line itself": HIDDEN, "fitted into another line": other_line()}
    truth = {
        stop.cause: stop
        for stop in HIDDEN.stop
        if stop.station in WEB_STATIONS and stop.meter == "every_running_h"
    }
    counts: Counter[str] = Counter()
    hours: Counter[str] = Counter()
    gained: list[float] = []
    as_it_is = statistics.mean(reams(HIDDEN, given.runs))
    for seed in range(1, given.fits + 1):
        record = watched(HIDDEN, shifts=round(given.weeks * 21), seed=1000 + seed)
        log, planned = log_of(record), reams_of(record)
        counts.update(stop.cause for stop in log.stops if stop.cause in truth)
        for name, scenario in lines.items():
            causes = match_causes(log.stops, scenario)
            fitter = Fitter(causes, planned, scenario, resamples=2)
            fits = [fitter.fit(cause) for cause in causes]
            bare = Fitter(causes, [Planned(p.start, p.end) for p in planned], scenario, resamples=2)
            belt = next(cause for cause in causes if cause.cause == "overlap belt")
            hours[name] += fitter.fit(belt).meter.total
            if scenario is HIDDEN:
                hours["as if waiting were running"] += bare.fit(belt).meter.total
                # The other line's rates are others: its reams say nothing of the fit.
                made = statistics.mean(reams(with_fits(scenario, fits), given.runs))
                gained.append(100 * (made / as_it_is - 1))
        print(f"{seed} of {given.fits}", flush=True)
    for cause, stop in truth.items():
        webs = HIDDEN.unwind.webs if stop.per_web else 1
        print(f"{cause}: {stop.interval.average():g} h is true, {counts[cause]} stops")
        for name, total in hours.items():
            rate = exact_rate(counts[cause], total * webs)
            low, high = 1 / rate.high, 1 / rate.low if rate.low else float("inf")
            print(
                f"    {name}: {total * webs / max(1, counts[cause]):.2f} h ({low:.2f}-{high:.2f})"
            )
    half = 2.05 * statistics.stdev(gained) / len(gained) ** 0.5 if len(gained) > 1 else float("nan")
    print(f"good reams of the fitted lines: {statistics.mean(gained):+.2f} ± {half:.2f} %")


if __name__ == "__main__":
    main()
