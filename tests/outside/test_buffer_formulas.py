"""The formulas of lines with buffers against published values."""

import math

import pytest

from tests.theory import formulas as theory
from tests.theory.formulas import UnreliableStation

FIRST = UnreliableStation(speed=1, mean_time_to_failure=900, mean_time_to_repair=180)
SECOND = UnreliableStation(speed=1, mean_time_to_failure=1200, mean_time_to_repair=120)

# Zimmern (1956), Sevast'yanov (1962), Gershwin (1994): buffer -> throughput of the line above.
FLUID_THROUGHPUT = {0: 0.76923, 60: 0.78501, 180: 0.80370, 600: 0.82585}


@pytest.mark.parametrize("places", [0, 1, 2, 5, 40])
def test_two_exponential_stations(places: int) -> None:
    """Hunt (1956): (B + 2) / (B + 3) for stations of mean 1."""
    line = theory.two_exponential_stations(1, 1, places)
    assert line.throughput == pytest.approx((places + 2) / (places + 3), rel=1e-12)
    assert line.blocked == pytest.approx(1 / (places + 3), rel=1e-12)
    assert line.mean_in_buffer == pytest.approx(
        sum(n - 1 for n in range(1, places + 2)) / (places + 3) + places / (places + 3), rel=1e-12
    )


def test_twenty_stations_without_buffers() -> None:
    """Gershwin, lecture example and Manufacturing Systems Engineering (1994): 0.487, 0.475."""
    station = UnreliableStation(speed=1, mean_time_to_failure=200, mean_time_to_repair=10.5)
    worse = UnreliableStation(speed=1, mean_time_to_failure=100, mean_time_to_repair=10.5)
    assert theory.bufferless_throughput([station] * 20) == pytest.approx(0.4878, abs=5e-5)
    assert theory.bufferless_throughput([station] * 19 + [worse]) == pytest.approx(0.4756, abs=5e-5)
    assert station.throughput_alone == pytest.approx(0.950, abs=5e-4)


@pytest.mark.parametrize(("buffer", "throughput"), FLUID_THROUGHPUT.items())
def test_fluid_line_of_equal_speeds(buffer: float, throughput: float) -> None:
    closed = theory.equal_speed_fluid_throughput(FIRST, SECOND, buffer)
    assert closed == pytest.approx(throughput, abs=5e-6)
    assert theory.two_station_fluid(FIRST, SECOND, buffer).throughput == pytest.approx(
        closed, rel=1e-12
    )


def test_no_buffer_is_buzacott_and_endless_buffer_the_worse_station() -> None:
    """Buzacott (1967) at one end; r / (r + p) of the worse station at the other."""
    none = theory.equal_speed_fluid_throughput(FIRST, SECOND, 0)
    assert none == pytest.approx(1 / (1 + 180 / 900 + 120 / 1200), rel=1e-12)
    endless = theory.equal_speed_fluid_throughput(FIRST, SECOND, math.inf)
    assert endless == pytest.approx(900 / 1080, rel=1e-12)
    assert theory.two_station_fluid(FIRST, SECOND, 1e6).throughput == pytest.approx(
        endless, rel=1e-9
    )
