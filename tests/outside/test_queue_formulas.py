"""The queue formulas against published values and against programs that others wrote."""

import math

import numpy as np
import pytest
from scipy import stats

from tests.theory import formulas as theory


def test_mm1_with_two_arrivals_and_three_services_per_hour() -> None:
    """Kleinrock (1975); the figures are a worked example in Hillier and Lieberman (memory)."""
    queue = theory.mm1(arrival_rate=2, service_rate=3)
    assert queue.in_system == pytest.approx(2, rel=1e-12)
    assert queue.waiting == pytest.approx(4 / 3, rel=1e-12)
    assert queue.time_in_system == pytest.approx(1, rel=1e-12)
    assert queue.wait == pytest.approx(2 / 3, rel=1e-12)
    for n in range(12):
        assert queue.probability(n) == pytest.approx((1 / 3) * (2 / 3) ** n, rel=1e-12)
    for hours in (0, 0.5, 1, 3):
        expected = 2 / 3 * math.exp(-(3 - 2) * hours)
        assert queue.probability_wait_exceeds(hours) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(("load", "in_system"), [(0.5, 1), (0.8, 4), (0.9, 9)])
def test_mm1_number_in_system(load: float, in_system: float) -> None:
    """rho / (1 - rho): Kleinrock (1975)."""
    assert theory.mm1(load, 1).in_system == pytest.approx(in_system, rel=1e-12)


def test_two_servers_share_one_queue() -> None:
    """M/M/2 with lambda 2 and mu 3: a worked example in Hillier and Lieberman (memory)."""
    queue = theory.mmc(2, 3, servers=2)
    assert queue.probability_empty == pytest.approx(1 / 2, rel=1e-12)
    assert queue.probability(0) == pytest.approx(1 / 2, rel=1e-12)
    assert queue.waiting == pytest.approx(1 / 12, rel=1e-12)
    assert queue.in_system == pytest.approx(3 / 4, rel=1e-12)
    assert queue.wait == pytest.approx(1 / 24, rel=1e-12)


@pytest.mark.parametrize("load", [0.3, 0.9, 1.0, 1.7])
@pytest.mark.parametrize("places", [1, 2, 7])
def test_a_finite_queue_loses_what_finds_no_place(load: float, places: int) -> None:
    """Gross and Harris: P(K) = (1 - rho) rho^K / (1 - rho^(K+1)); 1/(K+1) at rho = 1."""
    queue = theory.mm1k(load, 1, places)
    if load == 1:
        expected = 1 / (places + 1)
    else:
        expected = (1 - load) * load**places / (1 - load ** (places + 1))
    assert queue.probability_lost == pytest.approx(expected, rel=1e-12)
    assert queue.arrival_rate == pytest.approx(load * (1 - expected), rel=1e-12)


@pytest.mark.parametrize("load", [0.5, 0.8, 0.9])
def test_pollaczek_khinchine(load: float) -> None:
    """Lq = lambda^2 E[S^2] / (2 (1 - rho)), for a service time uniform on 0.5 to 1.5."""
    uniform = stats.uniform(0.5, 1)
    queue = theory.mg1(load, uniform.mean(), uniform.std())
    expected = load**2 * uniform.moment(2) / (2 * (1 - load))
    assert queue.waiting == pytest.approx(expected, rel=1e-12)
    assert theory.md1(load, 1).waiting == pytest.approx(load**2 / (2 * (1 - load)), rel=1e-12)


def test_erlang_loss_of_ten_servers_at_ten_erlangs() -> None:
    """Erlang B tables of the ITU-T E.501 family (memory)."""
    assert theory.erlang_b(offered_load=10, servers=10) == pytest.approx(0.21458, abs=5e-6)


@pytest.mark.parametrize(("load", "servers"), [(0.5, 1), (3, 5), (10, 10), (95, 100), (200, 150)])
def test_erlang_loss_is_a_cut_off_poisson(load: float, servers: int) -> None:
    """The busy servers are Poisson, cut off at their number: scipy's Poisson says the same."""
    poisson = stats.poisson(load)
    expected = poisson.pmf(servers) / poisson.cdf(servers)
    assert theory.erlang_b(load, servers) == pytest.approx(expected, rel=1e-10)


def test_five_machines_and_one_repairer() -> None:
    """Palm (1947); Peck and Hazelwood, tables of finite queues (memory)."""
    shop = theory.machine_interference(machines=5, failure_rate=0.1, repair_rate=1)
    assert shop.machines_down == pytest.approx(0.63952, abs=5e-6)
    assert shop.probability_none_down == pytest.approx(0.56395, abs=5e-6)
    assert shop.repairer_load == pytest.approx(1 - 0.56395, abs=5e-6)


def test_a_repairer_for_each_machine_leaves_them_independent() -> None:
    """With nobody to wait for, the machines down are binomial."""
    shop = theory.machine_interference(6, failure_rate=0.2, repair_rate=0.5, repairers=6)
    binomial = stats.binom(6, 0.2 / 0.7)
    assert shop.probability_down == pytest.approx([binomial.pmf(n) for n in range(7)], rel=1e-12)
    assert shop.machines_waiting == 0


@pytest.mark.parametrize(("load", "servers"), [(0.6, 1), (1.25, 2), (4.2, 5)])
def test_many_servers_balance(load: float, servers: int) -> None:
    """The balance equations of M/M/c, cut off far out and solved by numpy as they stand."""
    last = 400
    rates = np.diag([load] * last, k=1)
    rates += np.diag([float(min(n, servers)) for n in range(1, last + 1)], k=-1)
    rates -= np.diag(rates.sum(axis=1))
    equations = rates.T.copy()
    equations[0] = 1
    shares = np.linalg.solve(equations, np.eye(last + 1)[0])
    queue = theory.mmc(load, 1, servers)
    numbers = np.arange(last + 1)
    assert queue.in_system == pytest.approx(float(shares @ numbers), rel=1e-9)
    assert queue.waiting == pytest.approx(
        float(shares @ np.maximum(numbers - servers, 0)), rel=1e-9
    )
    assert queue.probability_of_waiting == pytest.approx(float(shares[servers:].sum()), rel=1e-9)
    assert [queue.probability(n) for n in range(20)] == pytest.approx(shares[:20], rel=1e-9)


# Mean waits for one server, fed once an hour at random, in 12 runs of 2,500 h of the library ciw
# (3.2.7, seeds 2600 to 2611), customers of the first 250 h left out.
WAITS_IN_CIW = {
    "M/D/1": [
        0.4434,
        0.3942,
        0.5201,
        0.4498,
        0.4013,
        0.3928,
        0.3938,
        0.4044,
        0.4734,
        0.505,
        0.45,
        0.3957,
    ],
    "M/G/1": [
        0.3384,
        0.2981,
        0.3497,
        0.3405,
        0.3196,
        0.351,
        0.3696,
        0.3105,
        0.3296,
        0.3157,
        0.3328,
        0.3523,
    ],
}


@pytest.mark.parametrize(
    ("kind", "queue"),
    [("M/D/1", theory.md1(1, 0.6)), ("M/G/1", theory.mg1(1, 0.5, math.sqrt(1 / 12)))],
    ids=["M/D/1", "M/G/1"],
)
def test_waits_agree_with_ciw(kind: str, queue: theory.Queue) -> None:
    waits = WAITS_IN_CIW[kind]
    error = np.std(waits, ddof=1) / math.sqrt(len(waits))
    assert error < 0.03 * queue.wait, "the second opinion is too vague to be one"
    assert abs(np.mean(waits) - queue.wait) < 4 * error
