"""What makes the width of an answer: M/M/1 and the two-station line, by the delta method.

Rates estimated from n observations each have a relative standard deviation of 1 / sqrt(n); what
they make of a figure has the variance of its derivative times that (R. C. H. Cheng and W. Holland,
Sensitivity of computer simulation experiments to errors in input data, 1997). M/M/1 is Kleinrock
(1975); the line with a buffer Gershwin (1994).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from linesim.fast import simulate
from linesim.record import Record, State
from linesim.scenario import ForcedStop, Scenario, doubted, drawn, scores, without_doubt
from linesim.statistics import Crossing, interval_of
from linesim.statistics.intervals import t_factor
from linesim.studies.what_to_measure import MainFigure, WhatToMeasure, what_to_measure
from tests.theory import formulas as theory
from tests.theory.formulas import UnreliableStation

SQUARES = 100
SEED = 3
GAP_S, WRAP_S = 40.0, 24.0
ARRIVALS, SERVICES = 400, 1600


def exponential(mean: float) -> dict[str, Any]:
    return {"law": "exponential", "mean": mean}


def known(of: str, value: float, relative: float) -> dict[str, Any]:
    """A doubt about a figure whose logarithm has this standard deviation."""
    factor = math.exp(1.96 * relative)
    return {"of": of, "between": [value / factor, value * factor]}


def measured(
    line: Scenario, figure: Callable[[Scenario, int], float], squares: int
) -> WhatToMeasure:
    """Shares of a figure that is met in plants and images of the line, each with two lucks."""
    figures, stated = doubted(line), without_doubt(line)
    values = []
    for square in range(squares):
        plant = scores(figures, SEED, square)
        image = {name: -score for name, score in plant.items()}
        both = [drawn(stated, figures, each) for each in (plant, image)]
        values += [figure(each, 2 * square + luck) for luck in (0, 1) for each in both]
    interval = interval_of(values, crossed=Crossing())
    found = what_to_measure(MainFigure("figure", interval, interval.mean), [stated], figures, SEED)
    assert found is not None
    return found


def shares(found: WhatToMeasure) -> dict[str, float]:
    return {f"{m.figures[0].entry} {m.figures[0].field}".strip(): m.share for m in found.ranked}


def doubt(found: WhatToMeasure) -> float:
    """Standard deviation of what is not known."""
    interval = found.figure.interval
    return interval.doubt / t_factor(interval.level, interval.freedom)


@pytest.fixture(scope="module")
def queue(line: Any) -> Scenario:
    """Single reams set on the bridge at exponential intervals, and exponential wrapping times."""
    made: Scenario = line(
        cutter={"web_speed_m_per_min": 0.05 * 60 / GAP_S},
        overlap_belt={"hold_cuts": 100_000},
        transfer={
            "carry_s": exponential(GAP_S),
            "doubt": [known("carry_s", GAP_S, 1 / math.sqrt(ARRIVALS))],
        },
        wrapper=[
            {
                "wrap_s": exponential(WRAP_S),
                "doubt": [known("wrap_s", WRAP_S, 1 / math.sqrt(SERVICES))],
            }
        ],
    )
    return made


def rates(line: Scenario) -> tuple[float, float]:
    wrap = line.wrapper[0].wrap_s
    assert wrap is not None
    return 1 / line.transfer.carry_s.average(), 1 / wrap.average()


def test_the_load_of_a_queue_whose_rates_are_estimated(queue: Scenario) -> None:
    """rho = lambda / mu: Var(rho) = rho^2 (1/n + 1/m), the shares as 1/n to 1/m."""

    def load(line: Scenario, _: int) -> float:
        arrival, service = rates(line)
        return theory.mm1(arrival, service).load

    found = measured(queue, load, SQUARES)
    rho = WRAP_S / GAP_S
    assert doubt(found) == pytest.approx(rho * math.sqrt(1 / ARRIVALS + 1 / SERVICES), rel=0.06)
    assert shares(found)["carry_s"] == pytest.approx(0.8, abs=0.03)
    assert shares(found)["wrapper wrap_s"] == pytest.approx(0.2, abs=0.03)


def test_the_wait_in_a_queue_whose_rates_are_estimated(queue: Scenario) -> None:
    """Wq = lambda / (mu (mu - lambda)): d ln Wq / d ln lambda = 1 / (1 - rho), by ln mu
    -(2 - rho) / (1 - rho)."""

    def wait(line: Scenario, _: int) -> float:
        arrival, service = rates(line)
        return theory.mm1(arrival, service).wait

    found = measured(queue, wait, SQUARES)
    rho = WRAP_S / GAP_S
    arrivals = 1 / (1 - rho) ** 2 / ARRIVALS
    services = ((2 - rho) / (1 - rho)) ** 2 / SERVICES
    # The delta method leaves out the bend of 1 / (1 - rho): a few per cent at this load.
    truth = theory.mm1(1 / GAP_S, 1 / WRAP_S).wait * math.sqrt(arrivals + services)
    assert doubt(found) == pytest.approx(truth, rel=0.12)
    share = arrivals / (arrivals + services)
    assert shares(found)["carry_s"] == pytest.approx(share, abs=0.05)
    assert shares(found)["wrapper wrap_s"] == pytest.approx(1 - share, abs=0.05)


def test_the_load_of_the_wrapper_on_the_line(queue: Scenario) -> None:
    """The same queue on the line's own bridge and wrapper, by 48 runs."""
    sets = 250
    stands = ForcedStop(station="transfer", at_h=0, minutes=sets * GAP_S / 60)

    def load(line: Scenario, luck: int) -> float:
        record = simulate(
            line,
            seed=SEED,
            replication=luck,
            hours=300 * GAP_S / 3600,
            warm_up_h=(sets + 50) * GAP_S / 3600,
            history=False,
            forced=(stands,),
        )
        return _running(record, "wrapper")

    found = measured(queue, load, 12)
    rho = WRAP_S / GAP_S
    assert doubt(found) == pytest.approx(rho * math.sqrt(1 / ARRIVALS + 1 / SERVICES), rel=0.4)
    first = found.ranked[0]
    assert first.figures[0].field == "carry_s"
    assert first.low <= 0.8 <= first.high
    assert first.high - first.low < 0.6


def _running(record: Record, station: str) -> float:
    return record.hours_in(record.station(station), State.RUNNING) / record.hours


FIRST = UnreliableStation(speed=1, mean_time_to_failure=900, mean_time_to_repair=180)
SECOND = UnreliableStation(speed=1, mean_time_to_failure=1200, mean_time_to_repair=120)
SPREADS = {
    "cutter every_running_h": 0.15,
    "cutter restore_min": 0.1,
    "wrapper every_running_h": 0.3,
    "wrapper restore_min": 0.2,
}
REAM_S, BUFFER_S = 15.0, 180.0


def stop(station: str, figures: UnreliableStation) -> dict[str, Any]:
    interval, restore = figures.mean_time_to_failure / 3600, figures.mean_time_to_repair / 60
    return {
        "cause": f"stop of {station}",
        "station": station,
        "people": 0,
        "every_running_h": exponential(interval),
        "restore_min": exponential(restore),
        "doubt": [
            known("every_running_h", interval, SPREADS[f"{station} every_running_h"]),
            known("restore_min", restore, SPREADS[f"{station} restore_min"]),
        ],
    }


@pytest.fixture(scope="module")
def two_stations(line: Any) -> Scenario:
    made: Scenario = line(
        cutter={"web_speed_m_per_min": 0.05 * 60 / REAM_S},
        bridge={"places": round(BUFFER_S / REAM_S) - 1},
        wrapper=[{"rate_reams_per_min": 60 / REAM_S}],
        stop=[stop("cutter", FIRST), stop("wrapper", SECOND)],
    )
    return made


def derivatives() -> dict[str, float]:
    """What each figure makes of the throughput: dE / d ln x times its standard deviation."""
    step, found = 1e-4, {}
    for name, spread in SPREADS.items():
        station, _, field = name.partition(" ")
        what = "mean_time_to_repair" if field == "restore_min" else "mean_time_to_failure"
        made = []
        for sign in (1, -1):
            pair = {"cutter": FIRST, "wrapper": SECOND}
            value = getattr(pair[station], what) * math.exp(sign * step)
            pair[station] = replace(pair[station], **{what: value})
            made.append(theory.equal_speed_fluid_throughput(*pair.values(), BUFFER_S))
        found[name] = (made[0] - made[1]) / 2 / step * spread
    return found


def test_the_output_of_two_stations_by_the_closed_form(two_stations: Scenario) -> None:
    def throughput(line: Scenario, _: int) -> float:
        stations = [
            UnreliableStation(1, 3600 * s.interval.average(), 60 * s.restore_min.average())
            for s in line.stop
        ]
        return theory.equal_speed_fluid_throughput(*stations, BUFFER_S)

    _agrees(measured(two_stations, throughput, SQUARES), width=0.08, share=0.05)


def test_the_output_of_two_stations_on_the_line(two_stations: Scenario) -> None:
    """By 48 runs of the line with its own cutter, bridge and wrapper."""

    def throughput(line: Scenario, luck: int) -> float:
        record = simulate(line, seed=SEED, replication=luck, hours=30, warm_up_h=3, history=False)
        return record.books.reams.wrapped * REAM_S / record.hours / 3600

    found = measured(two_stations, throughput, 12)
    _agrees(found, width=0.5, share=0.25)
    truth = {name: each**2 for name, each in derivatives().items()}
    for each in found.ranked:
        name = f"{each.figures[0].entry.rpartition(' ')[2]} {each.figures[0].field}"
        assert each.low <= truth[name] / sum(truth.values()) <= each.high


def _agrees(found: WhatToMeasure, *, width: float, share: float) -> None:
    truth = derivatives()
    variance = sum(each**2 for each in truth.values())
    assert doubt(found) == pytest.approx(math.sqrt(variance), rel=width)
    for name, each in shares(found).items():
        station = name.removeprefix("stop of ").partition(" at ")[2]
        assert each == pytest.approx(truth[station] ** 2 / variance, abs=share), name
