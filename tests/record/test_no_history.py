"""A record that kept sums only says so, in the same words whatever is asked of its history."""

from __future__ import annotations

import pytest

from linesim.fast import simulate
from linesim.record import Moments, disturbance, outflow, sheeter_spans, stop_events
from linesim.record.forgetting import forgetting
from linesim.scenario import ForcedStop
from linesim.studies.active_periods import active_shares
from tests.line.calm_line import calm


@pytest.mark.parametrize(
    "read",
    [
        Moments,
        active_shares,
        outflow,
        sheeter_spans,
        stop_events,
        lambda record: record.tables(),
        lambda record: forgetting(record, record, 0),
        lambda record: disturbance(
            record, record, ForcedStop(station="wrapper", at_h=0.1, minutes=1)
        ),
    ],
)
def test_what_needs_a_history_says_how_to_have_one(read) -> None:
    record = simulate(calm(), hours=0.2, history=False)
    with pytest.raises(ValueError, match="no history") as refused:
        read(record)
    assert str(refused.value) == "the record has no history: run the line with history=True"
