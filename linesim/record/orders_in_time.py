"""Which order is cut at which moment of a run."""

from __future__ import annotations

import numpy as np

from linesim.record.jobs import Job, jobs
from linesim.record.record import Record, Spans


class OrdersInTime:
    """The orders' products, and the moments (ns) from which each is cut."""

    def __init__(self, record: Record, unwind: Spans) -> None:
        self.jobs = jobs(record.scenario)
        self.names: tuple[str, ...] = tuple(order.name for order in record.scenario.order)
        self.from_ns = [0]
        for done in record.orders[1:]:
            if done.begun_ns is None:
                break
            self.from_ns.append(done.begun_ns)

    def number(self, t_ns: int) -> int:
        """Number of the order being cut at ``t_ns``."""
        return int(np.searchsorted(self.from_ns, t_ns, "right")) - 1

    def job(self, t_ns: int) -> Job:
        """What is being cut at ``t_ns``."""
        return self.jobs[self.number(t_ns)]

    def name(self, t_ns: int) -> str | None:
        """Name of the order; None where the scenario has no orders."""
        return self.names[self.number(t_ns)] if self.names else None
