"""Which order is cut at which moment of a run."""

from __future__ import annotations

import numpy as np

from linesim.record.jobs import Job, jobs
from linesim.record.record import Record, Spans

_CHANGES = ("change of grade", "change of size")


class OrdersInTime:
    """The orders' products, and the moments (ns) from which each is cut."""

    def __init__(self, record: Record, unwind: Spans) -> None:
        self.jobs = jobs(record.scenario)
        self.names: tuple[str, ...] = tuple(order.name for order in record.scenario.order)
        self.from_ns = [0]
        cuts = [done.cut_ns for done in record.orders]
        causes = [n for n, name in enumerate(record.causes) if name in _CHANGES]
        changing = np.isin(unwind.cause, causes)
        starts, ends = unwind.start_ns[changing], unwind.end_ns[changing]
        for number, cut in enumerate(cuts[:-1]):
            if cut is None:
                break
            # The last span of the change-over, if there is one, ends as the next order begins.
            later = cuts[number + 1]
            mine = (starts >= cut) & (starts < (record.end_ns + 1 if later is None else later))
            over = int(ends[mine].max()) if mine.any() else cut
            self.from_ns.append(record.end_ns + 1 if over >= record.end_ns > cut else over)

    def number(self, t_ns: int) -> int:
        """Number of the order being cut at ``t_ns``."""
        return int(np.searchsorted(self.from_ns, t_ns, "right")) - 1

    def job(self, t_ns: int) -> Job:
        """What is being cut at ``t_ns``."""
        return self.jobs[self.number(t_ns)]

    def name(self, t_ns: int) -> str | None:
        """Name of the order; None where the scenario has no orders."""
        return self.names[self.number(t_ns)] if self.names else None
