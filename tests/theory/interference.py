"""Machine interference: a small crew and the machines that wait for it.

Sources: C. Palm, *The assignment of workers in servicing automatic machines* (1947);
tables by L. G. Peck and R. N. Hazelwood, *Finite Queueing Tables* (1958). As a queue it is
the finite-source M/M/c//N.
"""

import math
from dataclasses import dataclass

from linesim.limits import above_zero, whole_from


@dataclass(frozen=True)
class Interference:
    """Steady-state means of machines looked after by repairers.

    ``probability_down`` holds the chance of exactly 0, 1, ... N machines being down.
    ``wait`` is the mean time a machine stands before someone comes, ``failure_rate`` the
    failures per unit of time of all machines together.
    """

    machines_down: float
    machines_waiting: float
    machines_running: float
    repairer_load: float
    failure_rate: float
    wait: float
    probability_down: tuple[float, ...]

    @property
    def probability_none_down(self) -> float:
        """Chance that every machine runs and the whole crew is idle."""
        return self.probability_down[0]


def machine_interference(
    machines: int, failure_rate: float, repair_rate: float, repairers: int = 1
) -> Interference:
    """Machines that fail at random while they run, repaired by at most *repairers* at once.

    *failure_rate* is that of one running machine, *repair_rate* that of one repairer, one
    repairer to a machine; running times are exponential, and so are repairs. Always stable.

    >>> shop = machine_interference(machines=5, failure_rate=0.1, repair_rate=1)
    >>> round(shop.machines_down, 5), round(shop.probability_none_down, 5)
    (0.63952, 0.56395)
    """
    whole_from("machines", machines, 1)
    above_zero("failure_rate", failure_rate)
    above_zero("repair_rate", repair_rate)
    whole_from("repairers", repairers, 1)
    logs = [0.0]
    for down in range(1, machines + 1):
        birth = (machines - down + 1) * failure_rate
        death = min(down, repairers) * repair_rate
        logs.append(logs[-1] + math.log(birth / death))
    peak = max(logs)
    weights = [math.exp(value - peak) for value in logs]
    total = math.fsum(weights)
    chances = tuple(weight / total for weight in weights)
    down_mean = math.fsum(n * p for n, p in enumerate(chances))
    waiting = math.fsum(max(0, n - repairers) * p for n, p in enumerate(chances))
    busy = math.fsum(min(n, repairers) * p for n, p in enumerate(chances))
    failures = busy * repair_rate
    return Interference(
        machines_down=down_mean,
        machines_waiting=waiting,
        machines_running=machines - down_mean,
        repairer_load=busy / repairers,
        failure_rate=failures,
        wait=waiting / failures,
        probability_down=chances,
    )
