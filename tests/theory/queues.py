"""Queues fed at random (Poisson arrivals), first in first out.

Sources: L. Kleinrock, *Queueing Systems*, volume 1 (1975); D. Gross and C. M. Harris,
*Fundamentals of Queueing Theory*; for general service times Pollaczek (1930) and
Khinchine (1932); for the loss formula Erlang (1917); J. D. C. Little, *A proof for the
queuing formula L = lambda W* (1961).
"""

import math
from dataclasses import dataclass

from linesim.limits import above_zero, whole_from, zero_or_more


class UnstableQueueError(ValueError):
    """Work arrives at least as fast as it can be done: the queue grows without end."""


@dataclass(frozen=True)
class Queue:
    """Steady-state means of a queue.

    ``load`` is the share of time that a server works, 0 to 1. ``in_system`` counts those
    waiting and in service, ``waiting`` those waiting only; ``time_in_system`` and ``wait``
    are the times that go with them. ``arrival_rate`` counts only those who are let in.
    """

    arrival_rate: float
    load: float
    in_system: float
    waiting: float
    time_in_system: float
    wait: float


@dataclass(frozen=True)
class MarkovQueue(Queue):
    """A queue with exponential service times, of which the whole distribution is known."""

    servers: int
    probability_empty: float
    probability_of_waiting: float

    def probability(self, number: int) -> float:
        """Chance that exactly *number* are in the system at a random moment."""
        whole_from("number", number, 0)
        offered = self.load * self.servers
        served = min(number, self.servers)
        first: float = self.probability_empty
        for n in range(1, served + 1):
            first *= offered / n
        return first * float(self.load ** (number - served))

    def probability_wait_exceeds(self, time: float) -> float:
        """Chance that an arrival waits longer than *time* before its service begins.

        Erlang C times exp(-(c mu - lambda) t).
        """
        zero_or_more("time", time)
        spare_rate = self.arrival_rate / self.load * (1 - self.load)
        return self.probability_of_waiting * math.exp(-spare_rate * time)


@dataclass(frozen=True)
class FiniteQueue(Queue):
    """A queue with room for ``places``; who finds no place is lost."""

    places: int
    offered_load: float
    probability_lost: float

    def probability(self, number: int) -> float:
        """Chance that exactly *number* (0 to ``places``) are in the system."""
        whole_from("number", number, 0)
        if number > self.places:
            return 0.0
        return _geometric_weights(self.offered_load, self.places)[number]


def mm1(arrival_rate: float, service_rate: float) -> MarkovQueue:
    """M/M/1: one server, exponential service, unlimited room. Kleinrock (1975), section 3.2.

    Valid for arrival_rate < service_rate; raises :class:`UnstableQueueError` otherwise.

    >>> queue = mm1(2, 3)
    >>> queue.in_system, queue.time_in_system
    (2.0, 1.0)
    """
    return mmc(arrival_rate, service_rate, servers=1)


def mmc(arrival_rate: float, service_rate: float, servers: int) -> MarkovQueue:
    """M/M/c: *servers* alike with one common queue. Kleinrock (1975), section 3.5.

    *service_rate* is that of one server. Valid for arrival_rate < servers * service_rate;
    raises :class:`UnstableQueueError` otherwise.

    >>> round(mmc(2, 3, servers=2).in_system, 12)
    0.75
    """
    above_zero("arrival_rate", arrival_rate)
    above_zero("service_rate", service_rate)
    whole_from("servers", servers, 1)
    offered = arrival_rate / service_rate
    _refuse_overload(arrival_rate, service_rate * servers)
    load = offered / servers
    loss = erlang_b(offered, servers)
    must_wait = loss / (1 - load * (1 - loss))  # Erlang C out of Erlang B, without factorials
    spare_rate = servers * service_rate - arrival_rate
    wait = must_wait / spare_rate
    waiting = arrival_rate * wait
    # P0 from P(wait) = P0 a^c / (c! (1 - load)); the logarithm keeps many servers in range.
    log_full = servers * math.log(offered) - math.lgamma(servers + 1)
    return MarkovQueue(
        arrival_rate=arrival_rate,
        load=load,
        in_system=waiting + offered,
        waiting=waiting,
        time_in_system=wait + 1 / service_rate,
        wait=wait,
        servers=servers,
        probability_empty=must_wait * (1 - load) * math.exp(-log_full),
        probability_of_waiting=must_wait,
    )


def mm1k(arrival_rate: float, service_rate: float, places: int) -> FiniteQueue:
    """M/M/1/K: one server and room for *places*, the one in service included.

    P(K) = (1 - rho) rho^K / (1 - rho^(K+1)), and 1/(K+1) where rho = 1 (Gross and Harris).
    Any load is valid: what finds no place is lost. The times are of those let in.

    >>> round(mm1k(1, 1, places=4).probability_lost, 6)
    0.2
    """
    above_zero("arrival_rate", arrival_rate)
    above_zero("service_rate", service_rate)
    whole_from("places", places, 1)
    offered = arrival_rate / service_rate
    weights = _geometric_weights(offered, places)
    load = math.fsum(weights[1:])
    let_in = load * service_rate
    in_system = math.fsum(n * weight for n, weight in enumerate(weights))
    waiting = math.fsum((n - 1) * weight for n, weight in enumerate(weights) if n)
    return FiniteQueue(
        arrival_rate=let_in,
        load=load,
        in_system=in_system,
        waiting=waiting,
        time_in_system=in_system / let_in,
        wait=waiting / let_in,
        places=places,
        offered_load=offered,
        probability_lost=weights[places],
    )


def mg1(arrival_rate: float, mean_service_time: float, service_time_sd: float) -> Queue:
    """M/G/1: one server, any service-time distribution of that mean and standard deviation.

    Pollaczek-Khinchine: Lq = lambda^2 E[S^2] / (2 (1 - rho)). Raises
    :class:`UnstableQueueError` unless arrival_rate * mean_service_time < 1.

    >>> round(mg1(2, mean_service_time=1/3, service_time_sd=1/3).waiting, 9)
    1.333333333
    """
    above_zero("arrival_rate", arrival_rate)
    above_zero("mean_service_time", mean_service_time)
    zero_or_more("service_time_sd", service_time_sd)
    load = arrival_rate * mean_service_time
    _refuse_overload(arrival_rate, 1 / mean_service_time)
    second_moment = mean_service_time**2 + service_time_sd**2
    wait = arrival_rate * second_moment / (2 * (1 - load))
    return Queue(
        arrival_rate=arrival_rate,
        load=load,
        in_system=arrival_rate * wait + load,
        waiting=arrival_rate * wait,
        time_in_system=wait + mean_service_time,
        wait=wait,
    )


def md1(arrival_rate: float, service_time: float) -> Queue:
    """M/D/1: one server that takes the same time for each: half the wait of M/M/1.

    >>> round(md1(2, service_time=1/3).waiting, 9)
    0.666666667
    """
    return mg1(arrival_rate, service_time, service_time_sd=0)


def erlang_b(offered_load: float, servers: int) -> float:
    """Chance that an arrival finds all *servers* busy and is lost (M/G/c/c).

    *offered_load* in erlangs: arrival rate times mean service time. The usual recursion
    B(a, n) = a B(a, n-1) / (n + a B(a, n-1)), B(a, 0) = 1, which cannot overflow.
    """
    zero_or_more("offered_load", offered_load)
    whole_from("servers", servers, 0)
    loss = 1.0
    for n in range(1, servers + 1):
        loss = offered_load * loss / (n + offered_load * loss)
    return loss


def little_number(rate: float, mean_time: float) -> float:
    """Mean number inside, L = lambda W, of anything in a steady state (Little 1961).

    >>> little_number(rate=2, mean_time=1.5)
    3.0
    """
    zero_or_more("rate", rate)
    zero_or_more("mean_time", mean_time)
    return rate * mean_time


def little_time(rate: float, mean_number: float) -> float:
    """Mean time inside, W = L / lambda, of anything in a steady state (Little 1961)."""
    above_zero("rate", rate)
    zero_or_more("mean_number", mean_number)
    return mean_number / rate


def _refuse_overload(arrival_rate: float, capacity: float) -> None:
    if arrival_rate >= capacity:
        raise UnstableQueueError(
            f"arrival_rate is {arrival_rate}; it must be below the capacity of {capacity}, "
            "or the queue never settles"
        )


def _geometric_weights(ratio: float, last: int) -> list[float]:
    """Probabilities 0..last, each *ratio* times the one before."""
    # Powers of a ratio above 1 are counted down from the top, so that none overflows.
    if ratio <= 1:
        powers = [ratio**n for n in range(last + 1)]
    else:
        powers = [(1 / ratio) ** (last - n) for n in range(last + 1)]
    total = math.fsum(powers)
    return [power / total for power in powers]


def batches_m1(batch: int, arrival_rate: float, service_rate: float) -> Queue:
    """Poisson arrivals put together in batches of so many, one exponential server of batches.

    :func:`batches_mc` for one server (E_k/M/1; Kleinrock 1975, 6.4; J. W. Cohen, *The Single
    Server Queue*, 1982).

    >>> queue = batches_m1(5, arrival_rate=4, service_rate=1)
    >>> round(queue.wait, 5), round(queue.in_system, 5)
    (2.15226, 2.52181)
    """
    return batches_mc(batch, arrival_rate, service_rate, servers=1)


def batches_mc(batch: int, arrival_rate: float, service_rate: float, servers: int) -> Queue:
    """Poisson arrivals put together in batches of so many, several exponential servers of batches.

    Batches come at Erlang intervals of transform A, E_k/M/c: sigma solves s = A*(c mu - c mu s),
    and an arrival finds all c busy with the chance C = A / (1 - sigma),

        1 / A = 1 / (1 - sigma) + sum over j = 1..c of
            binomial(c, j) / (C_j (1 - a_j)) (c (1 - a_j) - j) / (c (1 - sigma) - j),

    with a_j = A*(j mu) and C_j the product of a_i / (1 - a_i) up to j. It then waits
    1 / (c mu (1 - sigma)) on average (L. Takacs, *Introduction to the Theory of Queues*, 1962,
    2.2; Kleinrock 1975, 6.6). *arrival_rate* is that of single pieces, *service_rate* that of one
    server; all that is given is of batches. Raises ``UnstableQueueError`` where they come as fast
    as they go.

    >>> round(batches_mc(1, arrival_rate=2, service_rate=3, servers=2).in_system, 9)
    0.75
    """
    whole_from("batch", batch, 1)
    above_zero("arrival_rate", arrival_rate)
    above_zero("service_rate", service_rate)
    whole_from("servers", servers, 1)
    rate, most = arrival_rate / batch, servers * service_rate
    _refuse_overload(rate, most)

    def transform(at: float) -> float:
        return float((arrival_rate / (arrival_rate + at)) ** batch)

    low, high = 0.0, 1.0 - 1e-9
    for _ in range(60):
        share = (low + high) / 2
        low, high = (share, high) if transform(most * (1 - share)) > share else (low, share)
    inverse, product = 1 / (1 - low), 1.0
    for j in range(1, servers + 1):
        gone = transform(j * service_rate)
        product *= gone / (1 - gone)
        part = (servers * (1 - gone) - j) / (servers * (1 - low) - j)
        inverse += math.comb(servers, j) / (product * (1 - gone)) * part
    all_busy = 1 / inverse / (1 - low)
    wait = all_busy / (most * (1 - low))
    time = wait + 1 / service_rate
    return Queue(rate, rate / most, rate * time, rate * wait, time, wait)
