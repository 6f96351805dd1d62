"""What would help: found by a few short runs, told of fresh ones, and of no lever by chance."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.studies import StoppedError, WhatHelps, what_helps
from linesim.studies.replications import replicate
from tests.line.calm_line import calm, stop

_LEFT = "longer_bridge, bridge_levels, web_speed, change_together, faster_reel_change"
"""Not to be touched, so that few runs are made."""
_MONEY = {"contribution_per_ream": 0.5, "wrapper_price": 1000.0}
_SHAKY = stop("wrapper", "jam", every_reams={"law": "exponential", "mean": 60}, restore_min=0.1)


def asked(off: str = _LEFT, **tables: Any) -> WhatHelps:
    """Of twelve minutes of a line that waits for its wrapper; few levers."""
    given = {"wrapper": [{"rate_reams_per_min": 15}], "money": _MONEY} | tables
    line = calm(levers={"off": off}, **given)
    return what_helps(replicate(line, replications=2, hours=0.2), hours=0.2)


def test_what_holds_the_line_is_what_helps():
    helps = asked(stop=[_SHAKY])
    (found,) = helps.levers
    # Two wrappers of 15 a minute make twice as much: a tenth more of one is a trifle beside it.
    assert found.key == "more_wrappers"
    assert found.gain.interval.mean == pytest.approx(15 * 60 * 168, rel=0.3)
    # Of runs that it was not picked by.
    assert found.gain.interval.n == helps.runs
    assert found.worth is not None
    assert found.worth.purchase.capital == 1000


def test_what_costs_more_than_it_brings_is_not_told():
    dear = _MONEY | {"wrapper_price": 1e9}
    told = asked(money=dear).levers
    assert [each.key for each in told] == ["faster_wrapper"]
    assert told[0].purchase is None
    assert told[0].gain.interval.mean == pytest.approx(1.5 * 60 * 168, rel=0.15)


def test_nothing_is_told_where_nothing_helps():
    # No reel is changed in that time, and the wrapper waits for the knives.
    found = asked(wrapper=[{"rate_reams_per_min": 60}])
    assert found.levers == ()
    assert found.tried > 2


def test_it_can_be_stopped():
    result = replicate(calm(), replications=2, hours=0.2)
    with pytest.raises(StoppedError):
        what_helps(result, hours=0.2, stop=lambda: True)
