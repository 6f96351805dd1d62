"""Lines with a buffer: the transfer and the cutter before the line's own bridge and wrapper."""

from typing import Any

import pytest

from linesim.fast import simulate
from linesim.record import Record, State
from tests.theory import formulas as theory
from tests.theory.formulas import UnreliableStation


def exponential(mean: float) -> dict[str, Any]:
    return {"law": "exponential", "mean": mean}


@pytest.mark.parametrize("places", [1, 2, 5, 10])
def test_two_exponential_stations(places: int, fed_at_random: Any, estimated: Any) -> None:
    """(B + 2) / (B + 3): Hunt (1956), blocking after the work.

    The transfer is the first station, never starved; it holds a ream it cannot set down, which
    is the ream that Hunt's first station holds when blocked. So B is the places of the bridge.
    """
    mean_s = 20.0
    truth = theory.two_exponential_stations(1, 1, places)
    assert truth.throughput == pytest.approx((places + 2) / (places + 3), rel=1e-12)
    records = fed_at_random(
        gap_s=mean_s,
        reams=1500,
        runs=16,
        seed=90 + places,
        history=False,
        bridge={"places": places},
        wrapper=[{"wrap_s": exponential(mean_s)}],
    )

    def share(record: Record, station: str, state: State) -> float:
        return record.hours_in(record.station(station), state) / record.hours

    rates = [r.books.reams.wrapped * mean_s / r.hours / 3600 for r in records]
    # Reams less their expected number in the working time: of mean 0 whatever the buffer does.
    known = [
        [rate - share(r, station, State.RUNNING) for rate, r in zip(rates, records, strict=True)]
        for station in ("transfer", "wrapper")
    ]
    estimated(rates, *known).must_be(truth.throughput)
    blocked = [share(r, "transfer", State.BLOCKED) for r in records]
    starved = [share(r, "wrapper", State.STARVED) for r in records]
    # Small shares: the interval cannot be one per cent of them in a short time.
    estimated(blocked, *known).must_be(truth.blocked, within=0.12)
    estimated(starved, *known).must_be(truth.starved, within=0.12)


FIRST = UnreliableStation(speed=1, mean_time_to_failure=900, mean_time_to_repair=180)
SECOND = UnreliableStation(speed=1, mean_time_to_failure=1200, mean_time_to_repair=120)


def stop(station: str, figures: UnreliableStation) -> dict[str, Any]:
    return {
        "cause": f"stop of {station}",
        "station": station,
        "people": 0,
        "every_running_h": exponential(figures.mean_time_to_failure / 3600),
        "restore_min": exponential(figures.mean_time_to_repair / 60),
    }


def two_unreliable_stations(
    line: Any, *, ream_s: float, places: int, hours: float, runs: int, seed: int
) -> list[Record]:
    scenario = line(
        cutter={"web_speed_m_per_min": 0.05 * 60 / ream_s},
        bridge={"places": places},
        wrapper=[{"rate_reams_per_min": 60 / ream_s}],
        stop=[stop("cutter", FIRST), stop("wrapper", SECOND)],
    )
    return [
        simulate(scenario, seed=seed, replication=run, hours=hours, warm_up_h=3, history=False)
        for run in range(runs)
    ]


def luck(records: list[Record]) -> list[list[float]]:
    """Stops less their expected number, and time down less its: of mean 0 in any buffer."""
    found = []
    for station, figures in (("cutter", FIRST), ("wrapper", SECOND)):
        falls, stands = [], []
        for record in records:
            number = record.station(station)
            count = sum(s.count for s in record.stops if s.station == number)
            seconds = record.hours * 3600
            running = record.hours_in(number, State.RUNNING) * 3600
            down = record.hours_in(number, State.DOWN) * 3600
            falls.append((count * figures.mean_time_to_failure - running) / seconds)
            stands.append((down - count * figures.mean_time_to_repair) / seconds)
        found += [falls, stands]
    return found


@pytest.mark.parametrize(
    ("buffer_s", "ream_s", "hours", "published"),
    [(60, 6, 16, 0.78501), (180, 15, 36, 0.80370), (600, 30, 75, 0.82585)],
)
def test_two_stations_that_fail(
    buffer_s: float, ream_s: float, hours: float, published: float, line: Any, estimated: Any
) -> None:
    """Cutter and wrapper of one speed, a bridge between: the fluid formula of Zimmern (1956),
    Sevast'yanov (1962) and Gershwin (1994). C is in seconds of production.

    A fluid has no reams. Here the wrapper begins a ream when it is whole: while both run it is
    at least one ream behind the cutter. At most it is behind by the places of the bridge, the
    ream in the transfer's grip and the one in the pocket, less what the wrapper has in hand
    being cut into: places + 2. What is left to vary, C, is places + 1 reams.
    """
    places = round(buffer_s / ream_s) - 1
    truth = theory.equal_speed_fluid_throughput(FIRST, SECOND, buffer_s)
    assert truth == pytest.approx(published, abs=5e-6)
    records = two_unreliable_stations(
        line, ream_s=ream_s, places=places, hours=hours, runs=16, seed=round(buffer_s)
    )
    rates = [r.books.reams.wrapped * ream_s / r.hours / 3600 for r in records]
    estimated(rates, *luck(records)).must_be(truth)


def test_a_bridge_without_end(line: Any, estimated: Any) -> None:
    """r / (r + p) of the worse station, 900 / 1080: Gershwin (1994).

    The cutter is never blocked, and the wrapper passes on all that it makes.
    """
    truth = theory.unlimited_buffer_throughput([FIRST, SECOND])
    assert truth == pytest.approx(900 / 1080, rel=1e-12)
    records = two_unreliable_stations(
        line, ream_s=60, places=1_000_000, hours=120, runs=16, seed=99
    )
    assert all(r.hours_in(r.station("cutter"), State.BLOCKED) == 0 for r in records)
    rates = [r.books.reams.wrapped * 60 / r.hours / 3600 for r in records]
    estimated(rates, *luck(records)).must_be(truth)
