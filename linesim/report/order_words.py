"""The orders of a run in time: begun, done, due; dates where the scenario says when it starts."""

from __future__ import annotations

from typing import NamedTuple

from linesim.record import Record
from linesim.report.answers.cells import Column
from linesim.report.answers.plan_orders import moment, moment_column
from linesim.report.answers.tables import AnswerTable
from linesim.scenario import HOUR, Scenario


class OrderInTime(NamedTuple):
    """One order of a run; hours after its start, None where that is later than it, or never."""

    name: str
    reams: int
    begun_h: float | None
    done_h: float | None
    """When its last good ream was wrapped."""
    due_h: float | None
    late_h: float | None
    """How late it was done, or is as the run ends; None where it is in time as far as is known."""

    @property
    def titles(self) -> tuple[str, ...]:
        """What to write on it: the first that has room."""
        if self.late_h is None:
            return (self.name,)
        return (f"{self.name}, {self.late_h:.1f} h late", f"{self.name}, late", "late")

    def words(self, scenario: Scenario) -> str:
        """All of it, a line for each."""
        begun = "not begun" if self.begun_h is None else f"begun {moment(scenario, self.begun_h)}"
        done = "not done" if self.done_h is None else f"done {moment(scenario, self.done_h)}"
        due = []
        if self.due_h is not None:
            late = "" if self.late_h is None else f": {self.late_h:.1f} h late"
            if late and self.done_h is None:
                late += " as the run ends"
            due = [f"due {moment(scenario, self.due_h)}{late}"]
        lines = [f"{self.name}: {self.reams:,} reams", *due, f"{begun}, {done}"]
        return "\n".join(lines)


def orders_in_time(record: Record) -> tuple[OrderInTime, ...]:
    """The orders of a run in their sequence; none where the line has no orders."""
    scenario, ends_h = record.scenario, record.end_ns / HOUR
    found = []
    for order, made in zip(scenario.order, record.orders, strict=True):
        begun, done = (None if t is None else t / HOUR for t in (made.begun_ns, made.wrapped_ns))
        due = scenario.due_h(order)
        late = None if due is None else (ends_h if done is None else done) - due
        late = late if late is not None and late > 0 else None
        found.append(OrderInTime(made.name, made.reams, begun, done, due, late))
    return tuple(found)


def order_at(record: Record, hours: float) -> OrderInTime | None:
    """The order that is made at a moment; of two that overlap, the one begun last."""
    found = [
        each
        for each in orders_in_time(record)
        if each.begun_h is not None
        and each.begun_h <= hours
        and (each.done_h is None or hours <= each.done_h)
    ]
    return max(found, key=lambda each: each.begun_h or 0.0, default=None)


def orders_table(record: Record) -> AnswerTable:
    """The same as a table."""
    scenario = record.scenario

    def rounded(hours: float | None) -> float | None:
        return None if hours is None else round(hours, 2)

    return AnswerTable.of(
        "orders",
        "The orders of this run",
        orders_in_time(record),
        ("order", lambda each: each.name),
        ("reams", lambda each: each.reams),
        (moment_column(scenario, "begun"), lambda each: rounded(each.begun_h)),
        (moment_column(scenario, "done"), lambda each: rounded(each.done_h)),
        (moment_column(scenario, "due"), lambda each: each.due_h),
        (Column("late", "h"), lambda each: rounded(each.late_h)),
    )
