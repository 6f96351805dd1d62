"""Runs of orders cut off where the last is wrapped: what is ordered is made, whatever changes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from linesim.record.capacity import SHEETER, WRAPPERS
from linesim.record.constraint import Waits
from linesim.studies.orders_pace import while_orders_last
from linesim.studies.outcome import OrderTimes
from linesim.studies.runner import Runner, Settings
from tests.studies.order_lines import calm_orders

HOUR_NS = 3_600 * 10**9


def test_hours_and_waits_end_with_the_last_order() -> None:
    """10 h on shift, all made after 4: of 7 h starved the wrapper waited 6 for another order.

    One hour of four is left, and of one hour blocked all: a quarter each.
    """
    line = calm_orders()
    with Runner(Settings(replications=2, hours=0.25, processes=1)) as runner:
        (row, _) = runner.outcomes({"": line})[""]
    made = replace(
        row,
        hours=10.0,
        manned_hours=10.0,
        good_reams=1200,
        waits=(Waits(SHEETER, 0.0, 0.1), Waits(WRAPPERS, 0.7, 0.1)),
        orders=(OrderTimes(0, 1, 4 * HOUR_NS),),
    )
    (cut,) = while_orders_last({"": line}, {"": (made,)}, 0.0)[""]
    assert (cut.hours, cut.manned_hours) == (4.0, 4.0)
    assert cut.reams_per_week == pytest.approx(1200 / 4 * 168)
    sheeter, wrappers = cut.waits
    assert (sheeter.starved, sheeter.blocked) == pytest.approx((0.0, 0.25))
    assert (wrappers.starved, wrappers.blocked) == pytest.approx((0.25, 0.25))
    # Not all is made: nothing is cut off. With a warm-up a run begins in their midst.
    short = replace(made, orders=(OrderTimes(0, 1, None),))
    assert while_orders_last({"": line}, {"": (short,)}, 0.0)[""] == (short,)
    assert while_orders_last({"": line}, {"": (made,)}, 1.0)[""] == (made,)
