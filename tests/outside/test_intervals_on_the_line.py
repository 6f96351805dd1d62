"""Whether an interval from a few short runs of the line covers the truth as often as it says."""

import math
from typing import Any

from linesim.fast import simulate
from linesim.record import State
from linesim.statistics import student_interval

INTERVALS = 250
RUNS_EACH = 3
LEVEL = 0.95


def test_nineteen_of_twenty_intervals_cover_the_truth(line: Any) -> None:
    """Student's interval ("Student" 1908) of the share of time that a wrapper runs, 0.8.

    250 intervals of three short runs each, every one with a seed of its own; the count of those
    that cover the truth is binomial. A wrong width (a factor for another level, a spread divided
    by the wrong number, runs that share their luck) changes it far beyond four deviations.
    """
    up_min, down_min = 40.0, 10.0
    truth = up_min / (up_min + down_min)
    scenario = line(
        bridge={"places": 1},
        wrapper=[{"wrap_s": 3_600_000}],
        stop=[
            {
                "cause": "jam",
                "station": "wrapper",
                "people": 0,
                "every_running_h": {"law": "exponential", "mean": up_min / 60},
                "restore_min": {"law": "exponential", "mean": down_min},
            }
        ],
    )
    covered = 0
    for seed in range(INTERVALS):
        shares = []
        for run in range(RUNS_EACH):
            record = simulate(
                scenario, seed=seed, replication=run, hours=20, warm_up_h=2, history=False
            )
            shares.append(record.hours_in(record.station("wrapper"), State.RUNNING) / record.hours)
        covered += student_interval(shares, LEVEL).contains(truth)
    deviation = math.sqrt(LEVEL * (1 - LEVEL) / INTERVALS)
    assert abs(covered / INTERVALS - LEVEL) <= 4 * deviation
    assert covered < INTERVALS, "intervals that never miss are too wide"
