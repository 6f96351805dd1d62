"""What must hold for any queue, crew and line, and what is refused."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.theory import formulas as theory
from tests.theory.formulas import UnreliableStation

rates = st.floats(0.05, 50)
stable_loads = st.floats(0.01, 0.98)


@st.composite
def stations(draw: st.DrawFn, speed: float | None = None) -> UnreliableStation:
    return UnreliableStation(
        speed=draw(st.floats(0.2, 5)) if speed is None else speed,
        mean_time_to_failure=draw(st.floats(10, 5000)),
        mean_time_to_repair=draw(st.floats(1, 500)),
    )


buffers = st.floats(0, 5000)


def assert_little(queue: theory.Queue) -> None:
    assert queue.in_system == pytest.approx(
        theory.little_number(queue.arrival_rate, queue.time_in_system), rel=1e-9
    )
    assert queue.wait == pytest.approx(
        theory.little_time(queue.arrival_rate, queue.waiting), rel=1e-9, abs=1e-12
    )


@given(rates, stable_loads, st.integers(1, 30))
def test_little_and_total_probability_for_many_servers(
    service: float, load: float, servers: int
) -> None:
    queue = theory.mmc(load * servers * service, service, servers)
    assert_little(queue)
    below = [queue.probability(n) for n in range(servers)]
    assert math.fsum(below) + queue.probability_of_waiting == pytest.approx(1, rel=1e-9)
    assert queue.probability_wait_exceeds(0) == pytest.approx(queue.probability_of_waiting)


@given(rates, st.floats(0.01, 30), st.integers(1, 60))
def test_little_and_total_probability_with_finite_room(
    service: float, load: float, places: int
) -> None:
    queue = theory.mm1k(load * service, service, places)
    assert_little(queue)
    assert math.fsum(queue.probability(n) for n in range(places + 3)) == pytest.approx(1)
    assert queue.arrival_rate == pytest.approx(load * service * (1 - queue.probability_lost))


@given(rates, stable_loads, st.floats(0, 3))
def test_general_service_lies_between_its_special_cases(
    service: float, load: float, variation: float
) -> None:
    """Waiting grows as 1 + cv^2: constant times halve it, exponential ones give M/M/1."""
    arrivals, time = load * service, 1 / service
    queue = theory.mg1(arrivals, time, variation * time)
    assert_little(queue)
    assert queue.wait == pytest.approx(theory.md1(arrivals, time).wait * (1 + variation**2))
    exponential = theory.mg1(arrivals, time, time)
    assert exponential.in_system == pytest.approx(theory.mm1(arrivals, service).in_system)


@given(st.integers(1, 40), rates, rates, st.integers(1, 10))
def test_machines_that_fail_are_those_that_are_repaired(
    machines: int, failure: float, repair: float, repairers: int
) -> None:
    shop = theory.machine_interference(machines, failure, repair, repairers)
    assert shop.failure_rate == pytest.approx(shop.machines_running * failure, rel=1e-9)
    assert math.fsum(shop.probability_down) == pytest.approx(1)
    down_time = shop.wait + 1 / repair
    assert shop.machines_down == pytest.approx(shop.failure_rate * down_time, rel=1e-9)


@given(rates, rates, st.integers(0, 50))
def test_a_line_of_two_runs_as_well_backwards(first: float, second: float, places: int) -> None:
    """Reversing the line leaves the throughput and swaps starved with blocked."""
    line = theory.two_exponential_stations(first, second, places)
    mirrored = theory.two_exponential_stations(second, first, places)
    assert line.throughput == pytest.approx(mirrored.throughput, rel=1e-9)
    assert line.starved == pytest.approx(mirrored.blocked, rel=1e-9, abs=1e-15)
    assert line.mean_in_buffer == pytest.approx(places - mirrored.mean_in_buffer, abs=1e-9)
    assert line.throughput == pytest.approx(second * (1 - line.starved), rel=1e-9)


@given(stations(speed=2.5), stations(speed=2.5), buffers)
def test_the_fluid_solver_agrees_with_the_closed_form(
    first: UnreliableStation, second: UnreliableStation, buffer: float
) -> None:
    assert theory.two_station_fluid(first, second, buffer).throughput == pytest.approx(
        theory.equal_speed_fluid_throughput(first, second, buffer), rel=1e-9
    )


@given(stations(), stations(), buffers)
def test_the_fluid_line_runs_as_well_backwards(
    first: UnreliableStation, second: UnreliableStation, buffer: float
) -> None:
    line = theory.two_station_fluid(first, second, buffer)
    mirrored = theory.two_station_fluid(second, first, buffer)
    assert line.throughput == pytest.approx(mirrored.throughput, rel=1e-7)
    assert line.starved == pytest.approx(mirrored.blocked, abs=1e-7)
    assert line.mean_level == pytest.approx(buffer - mirrored.mean_level, abs=1e-5 * (1 + buffer))


@given(stations(), stations(), buffers, st.floats(0, 500))
def test_more_buffer_never_hurts_and_has_its_bounds(
    first: UnreliableStation, second: UnreliableStation, buffer: float, more: float
) -> None:
    pair = (first, second)
    less = theory.two_station_fluid(first, second, buffer).throughput
    greater = theory.two_station_fluid(first, second, buffer + more).throughput
    rounding = 1 + 1e-7
    assert theory.bufferless_throughput(pair) <= less * rounding
    assert less <= greater * rounding
    assert greater <= theory.unlimited_buffer_throughput(pair) * rounding


@given(stations(), stations())
def test_the_ends_of_the_fluid_line(first: UnreliableStation, second: UnreliableStation) -> None:
    pair = (first, second)
    assert theory.two_station_fluid(first, second, 0).throughput == pytest.approx(
        theory.bufferless_throughput(pair), rel=1e-7
    )
    # A balanced line nears its limit only as 1/C, hence the wide tolerance.
    assert theory.two_station_fluid(first, second, 1e9).throughput == pytest.approx(
        theory.unlimited_buffer_throughput(pair), rel=1e-4
    )


@given(stations(), stations(), buffers, st.floats(0.01, 100))
def test_the_unit_of_time_does_not_matter(
    first: UnreliableStation, second: UnreliableStation, buffer: float, unit: float
) -> None:
    def in_unit(station: UnreliableStation) -> UnreliableStation:
        return UnreliableStation(
            station.speed * unit,
            station.mean_time_to_failure / unit,
            station.mean_time_to_repair / unit,
        )

    line = theory.two_station_fluid(first, second, buffer)
    other = theory.two_station_fluid(in_unit(first), in_unit(second), buffer)
    assert other.throughput == pytest.approx(line.throughput * unit, rel=1e-7)


@pytest.mark.parametrize("hair", [1e-12, 1e-9, 1e-7, 1e-5])
def test_nearly_equal_speeds_are_no_trap(hair: float) -> None:
    first, second = UnreliableStation(1 + hair, 900, 180), UnreliableStation(1, 1200, 120)
    equal = theory.equal_speed_fluid_throughput(UnreliableStation(1, 900, 180), second, 180)
    assert theory.two_station_fluid(first, second, 180).throughput == pytest.approx(
        equal, rel=1e-7 + 2 * hair
    )


SOUND = UnreliableStation(1, 900, 180)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: theory.mm1(3, 3), "below the capacity of 3"),
        (lambda: theory.mmc(7, 3, servers=2), "below the capacity of 6"),
        (lambda: theory.md1(2, service_time=0.5), "below the capacity of 2"),
    ],
)
def test_overload_has_no_steady_state(call: Callable[[], object], says: str) -> None:
    with pytest.raises(theory.UnstableQueueError, match=says):
        call()


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: theory.mm1(0, 3), "arrival_rate is 0"),
        (lambda: theory.mm1(2, math.nan), "service_rate is nan"),
        (lambda: theory.mmc(2, 3, servers=0), "servers is 0; it must be a whole number, 1"),
        (lambda: theory.mm1k(2, 3, places=1.5), "places is 1.5; it must be a whole number"),
        (lambda: theory.mg1(1, 0.5, -0.1), "service_time_sd is -0.1"),
        (lambda: theory.mm1(2, 3).probability(-1), "number is -1"),
        (lambda: theory.mm1(2, 3).probability_wait_exceeds(-1), "time is -1"),
        (lambda: theory.erlang_b(-1, 3), "offered_load is -1"),
        (lambda: theory.little_time(0, 3), "rate is 0"),
        (lambda: theory.machine_interference(0, 1, 1), "machines is 0"),
        (lambda: theory.two_exponential_stations(1, 1, -1), "places is -1"),
        (lambda: UnreliableStation(1, math.inf, 180), "mean_time_to_failure is inf"),
        (lambda: UnreliableStation(1, 900, 0), "mean_time_to_repair is 0"),
        (lambda: theory.bufferless_throughput([]), "one station or more"),
        (lambda: theory.unlimited_buffer_throughput([]), "one station or more"),
        (lambda: theory.two_station_fluid(SOUND, SOUND, -1), "buffer is -1"),
        (lambda: theory.two_station_fluid(SOUND, SOUND, math.inf), "buffer is inf"),
        (lambda: theory.equal_speed_fluid_throughput(SOUND, SOUND, -1), "buffer is -1"),
        (
            lambda: theory.equal_speed_fluid_throughput(SOUND, UnreliableStation(2, 9, 1), 1),
            "must be equal",
        ),
    ],
)
def test_what_no_formula_covers_is_refused_in_words(call: Callable[[], object], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        call()
