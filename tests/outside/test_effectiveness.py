"""Effectiveness against published examples."""

from fractions import Fraction

import pytest

from linesim.record import Loss
from linesim.record.capacity import station_rates
from linesim.record.effectiveness import Pieces, account
from linesim.scenario import check_mapping

MINUTE = 60_000_000_000


def test_nakajima_example():
    """S. Nakajima, Introduction to TPM, 1988 (the figures from memory).

    Loading time 460 min, downtime 60, output 400, ideal cycle 0.5 min, 2 % defects:
    availability 87 %, performance 50 %, quality 98 %, OEE 42.6 %.
    """
    row = [0] * len(Loss)
    row[Loss.PRODUCING] = 400 * MINUTE
    row[Loss.BREAKDOWN] = 35 * MINUTE
    row[Loss.SET_UP] = 25 * MINUTE
    row[Loss.PLANNED] = 20 * MINUTE
    made = Pieces(
        good=Fraction(392),
        start_up_rejects=Fraction(0),
        process_rejects=Fraction(8),
        on_the_line=Fraction(0),
    )
    day = account("press", row, [(1 / 0.5, made)])
    assert day.planned_busy_ns == 460 * MINUTE
    assert day.availability == pytest.approx(0.87, abs=0.0005)
    assert day.performance == pytest.approx(0.50, abs=1e-9)
    assert day.quality == pytest.approx(0.98, abs=1e-9)
    assert day.oee == pytest.approx(0.426, abs=0.0005)
    # The example's own step down: 200 minutes of reduced speed and 4 minutes of defects.
    assert day.speed_ns == 200 * MINUTE
    assert day.process_ns == 4 * MINUTE


@pytest.mark.parametrize(("mtbf_h", "mttr_min"), [(10, 60), (2, 6), (100, 300)])
def test_steady_state_availability(mtbf_h, mttr_min):
    """IEC 60050-192: availability = MTBF / (MTBF + MTTR), MTBF as mean operating time between
    failures: what the net rate of a station with one stop cause must be of its rated speed."""
    line = check_mapping(
        {
            "stop": [
                {
                    "cause": "anything",
                    "station": "wrapper",
                    "every_running_h": {"law": "exponential", "mean": mtbf_h},
                    "restore_min": mttr_min,
                }
            ],
        }
    )
    wrapper = next(rate for rate in station_rates(line) if rate.station == "wrapper")
    assert wrapper.availability == pytest.approx(mtbf_h / (mtbf_h + mttr_min / 60), rel=1e-12)


def test_stops_of_one_station_add_up_in_running_time():
    """J. A. Buzacott, Automatic transfer lines with buffer stocks, 1967: without buffers the
    availability is 1 / (1 + sum of MTTR / MTTF). Gershwin's published case (lecture example and
    Manufacturing Systems Engineering, 1994): twenty of MTTF 200 and MTTR 10.5 give 0.4878,
    published as 0.487."""
    line = check_mapping(
        {
            "stop": [
                {
                    "cause": f"part {number}",
                    "station": "transfer",
                    "every_running_h": {"law": "exponential", "mean": 200},
                    "restore_min": 10.5 * 60,
                }
                for number in range(20)
            ],
        }
    )
    transfer = next(rate for rate in station_rates(line) if rate.station == "transfer")
    assert transfer.availability == pytest.approx(0.4878, abs=0.00005)
