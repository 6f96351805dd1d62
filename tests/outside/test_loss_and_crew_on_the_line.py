"""Loss at the rework table, machines and a crew, availability: on the line's own parts."""

from typing import Any

import pytest

from linesim.fast import simulate
from linesim.record import Record, State
from tests.theory import formulas as theory
from tests.theory.formulas import UnreliableStation


def exponential(mean: float) -> dict[str, Any]:
    return {"law": "exponential", "mean": mean}


def stop(station: str, up_min: float, down_min: float, people: int = 0, name: str = "") -> Any:
    return {
        "cause": name or f"stop of {station}",
        "station": station,
        "people": people,
        "every_running_h": exponential(up_min / 60),
        "restore_min": exponential(down_min),
    }


def many_runs(scenario: Any, *, runs: int, hours: float, seed: int, warm_up_h: float) -> list[Any]:
    records = [
        simulate(
            scenario, seed=seed, replication=run, hours=hours, warm_up_h=warm_up_h, history=False
        )
        for run in range(runs)
    ]
    assert not any(record.books.faults() for record in records)
    return records


def test_ten_people_at_the_rework_table(line: Any, estimated: Any) -> None:
    """Erlang loss of 10 servers at 10 erlangs, B = 0.21458: Erlang (1917); tables of the ITU-T
    E.501 family (memory).

    A stop of no length spoils every wrap; the wrapper never waits, so spoiled reams come at
    random; ten places, ten people. The share lost is a rare thing counted: its interval is
    wider than the one per cent that the mean number at work keeps to.
    """
    wrap_s = 6.0
    rewrap_min = 1.0
    load = rewrap_min * 60 / wrap_s
    lost = theory.erlang_b(load, 10)
    assert lost == pytest.approx(0.21458, abs=5e-6)
    records = many_runs(
        line(
            slitter={"lanes": 20},
            unwind={"stand_limit_kg": 20_000},
            bridge={"places": 60},
            wrapper=[{"wrap_s": exponential(wrap_s)}],
            stop=[
                {
                    "cause": "torn wraps",
                    "station": "wrapper",
                    "every_reams": 1,
                    "restore_min": 0,
                    "people": 0,
                    "spoils_reams": 1,
                }
            ],
            rework={"places": 10, "rewrap_min": exponential(rewrap_min), "people": 1},
            crew={"size": 10},
        ),
        runs=20,
        hours=4.0,
        seed=51,
        warm_up_h=0.2,
    )
    for record in records:
        assert record.hours_in(record.station("wrapper"), State.RUNNING) == pytest.approx(
            record.hours, rel=1e-12
        )
    books = [record.books.reams for record in records]
    offered = [sum(r.wrapped_by) * wrap_s / r.hours / 3600 - 1 for r in records]
    at_work = [b.reworked / r.hours / 60 * rewrap_min for b, r in zip(books, records, strict=True)]
    estimated(at_work, offered).must_be(load * (1 - lost))
    shares = [b.repulped / (b.reworked + b.repulped) for b in books]
    estimated(shares, offered).must_be(lost, within=0.03)


def test_five_wrappers_and_one_person(line: Any, estimated: Any) -> None:
    """Machine interference M/M/1//5, lambda 0.1 and mu 1 an hour: 0.63952 down, the repairer
    idle for 0.56395 of the time. Palm (1947); Peck and Hazelwood (1958), tables (memory).

    A ream takes so long to wrap that the wrappers never wait for one.
    """
    truth = theory.machine_interference(machines=5, failure_rate=0.1, repair_rate=1)
    assert truth.machines_down == pytest.approx(0.63952, abs=5e-6)
    assert truth.probability_none_down == pytest.approx(0.56395, abs=5e-6)
    records = many_runs(
        line(
            bridge={"places": 5},
            wrapper=[{"name": f"wrapper {i}", "wrap_s": 3_600_000} for i in range(1, 6)],
            stop=[stop("wrapper", 600, 60, people=1)],
            crew={"size": 1},
        ),
        runs=20,
        hours=3300,
        seed=61,
        warm_up_h=100,
    )
    wrappers = [records[0].station(f"wrapper {i}") for i in range(1, 6)]

    def hours(record: Record, state: State) -> float:
        return sum(record.hours_in(wrapper, state) for wrapper in wrappers)

    def stops(record: Record) -> int:
        return sum(s.count for s in record.stops)

    assert all(hours(record, State.STARVED) == 0 for record in records)
    # Stops less their expected number in the running time, and hours down less theirs: of mean 0.
    known = [
        [(stops(r) - hours(r, State.RUNNING) / 10) / r.hours for r in records],
        [(hours(r, State.DOWN) - stops(r)) / r.hours for r in records],
    ]
    at_work = [hours(r, State.DOWN) / r.hours for r in records]
    estimated([1 - share for share in at_work]).must_be(truth.probability_none_down)
    waiting = [hours(r, State.WAITING_PEOPLE) / r.hours for r in records]
    down = [a + w for a, w in zip(at_work, waiting, strict=True)]
    estimated(down, *known).must_be(truth.machines_down, within=0.015)
    estimated(waiting, *known).must_be(truth.machines_waiting, within=0.05)
    failures = [stops(r) / r.hours for r in records]
    estimated(failures).must_be(truth.failure_rate)


@pytest.mark.parametrize("station", ["cutter", "transfer", "bridge", "wrapper"])
def test_availability_of_one_station(station: str, line: Any, estimated: Any) -> None:
    """MTBF / (MTBF + MTTR), MTBF a mean operating time between failures: IEC 60050-192."""
    up_min, down_min = 40.0, 10.0
    # Each station is busy at all times that it does not stand for its own stop.
    scenario = {
        "cutter": {"cutter": {"web_speed_m_per_min": 1}, "product": {"sheets_per_ream": 2000}},
        "transfer": {"transfer": {"carry_s": 3_600_000}},
        "bridge": {"wrapper": [{"wrap_s": 3_600_000}], "bridge": {"places": 1}},
        "wrapper": {"wrapper": [{"wrap_s": 3_600_000}], "bridge": {"places": 1}},
    }[station]
    records = many_runs(
        line(**scenario, stop=[stop(station, up_min, down_min)]),
        runs=20,
        hours=450,
        seed=71,
        warm_up_h=1,
    )
    truth = up_min / (up_min + down_min)
    shares = [r.hours_in(r.station(station), State.RUNNING) / r.hours for r in records]
    estimated(shares).must_be(truth)


@pytest.mark.parametrize(
    ("count", "worse", "published"), [(20, False, 0.4878), (20, True, 0.4756), (1, False, 0.950)]
)
def test_stations_that_stand_together(
    count: int, worse: bool, published: float, line: Any, estimated: Any
) -> None:
    """1 / (1 + sum MTTR/MTTF): Buzacott (1967). Twenty stations of MTTF 200 and MTTR 10.5, one
    of them with MTTF 100, one alone: Gershwin, lecture example and Manufacturing Systems
    Engineering (1994), published as 0.487, 0.475 and 0.950.

    The stations on the webs have no buffer between them: all stand while one is down.
    """
    stations = ("unwind", "web_path", "slitter", "cutter", "gate", "overlap_belt", "pockets")
    ups = [100.0 if worse and i == 0 else 200.0 for i in range(count)]
    truth = theory.bufferless_throughput([UnreliableStation(1, up, 10.5) for up in ups])
    assert truth == pytest.approx(published, abs=5e-4 if count == 1 else 5e-5)
    records = many_runs(
        line(
            product={"sheets_per_ream": 2000},
            cutter={"web_speed_m_per_min": 1},
            stop=[stop(stations[i % 7], up, 10.5, name=f"trouble {i}") for i, up in enumerate(ups)],
        ),
        runs=20,
        hours=600 if count > 1 else 200,
        seed=81,
        warm_up_h=1,
    )
    run_m = [record.books.web_um / 1e6 for record in records]
    shares = [m / 60 / record.hours for m, record in zip(run_m, records, strict=True)]
    estimated(shares).must_be(truth)
