"""A carton packer on the calm line: 20 reams, four cartons, come every 37.5 s.

Of each set of four the reams are wrapped 4, 5, 6 and 7 s after it was full: the first at 11.5 s.
"""

from __future__ import annotations

from typing import Any

import pytest

from linesim.line import simulate
from linesim.record import Record, State, station_effectiveness
from linesim.record.audit import audit
from linesim.scenario import ForcedStop
from tests.line.calm_line import SECOND, calm, seconds_in, spans_of, stop


def packed(hours: float, *, more: dict[str, Any] | None = None, **packer: Any) -> Record:
    packer = {"rate_cartons_per_min": 12, "conveyor_reams": 7} | packer
    record = simulate(calm(carton_packer=packer, **(more or {})), hours=hours)
    assert [fault for check in audit(record) for fault in check.faults] == []
    return record


def test_a_carton_waits_for_all_its_reams() -> None:
    """Reams 1 to 5 by 19 s, the next five by 27.5 s: 3.5 s after the first carton is closed.

    That is the wrapper's pace. The fifth comes with the webs, at 56.5 s. The 37th carton is begun
    at 356.5 s, with the first ream of the last set.
    """
    record = packed(0.1)
    assert spans_of(record, "carton_packer")[:5] == [
        (0.0, 19.0, State.STARVED, "", ("cutter", "")),
        (19.0, 24.0, State.RUNNING, "", None),
        (24.0, 49.5, State.SLOWED, "", ("wrapper", "")),
        (49.5, 56.5, State.STARVED, "", ("cutter", "")),
        (56.5, 61.5, State.RUNNING, "", None),
    ]
    assert record.taken_out == (180,)
    assert seconds_in(record, "carton_packer", State.RUNNING) == 36 * 5 + 3.5
    book = record.books.cartons
    assert book is not None
    assert (book.came, book.delivered, book.at_end, book.cartons) == (188, 180, 8, 36)


def test_the_group_is_a_buffer_beside_the_conveyor() -> None:
    """At 360 s a carton is in hand and three reams wait in the group: 9 more wait, one is held."""
    forced = [ForcedStop(station="carton_packer", at_h=0.1, minutes=10)]
    line = calm(carton_packer={"rate_cartons_per_min": 12, "conveyor_reams": 7})
    record = simulate(line, hours=0.2, forced=forced)
    assert record.history is not None
    blocked = [s for s in spans_of(record, "wrapper") if s[2] == State.BLOCKED]
    assert blocked[0][4] == ("carton_packer", "forced stop")
    ends = record.history.ream_end_ns / SECOND
    assert ((ends > 360) & (ends <= blocked[0][0])).sum() == 10


MAGAZINE = {"magazine_blanks": 10, "refill_at_blanks": 4, "refill_people": 1}


def test_a_magazine_that_is_filled_in_time_stops_nothing() -> None:
    """Asked for at 70 s, with the sixth carton; the tenth is closed 37.5 s later."""
    record = packed(0.2, **MAGAZINE, refill_min=0.5)
    assert seconds_in(record, "carton_packer", State.CHANGEOVER) == 0
    assert record.stops == ()


def test_a_packer_stands_when_the_last_blank_is_used() -> None:
    """The tenth carton is closed at 107.5 s, the magazine is full at 130 s."""
    record = packed(131 / 3600, **MAGAZINE, refill_min=1)
    spans = spans_of(record, "carton_packer")
    assert (107.5, 130.0, State.CHANGEOVER, "no blanks", None) in spans
    assert [(s.count, s.ns / SECOND) for s in record.stops] == [(1, 22.5)]


@pytest.mark.parametrize("laid_down", [True, False])
def test_who_fills_it_comes_from_what_can_wait_or_when_that_is_done(laid_down: bool) -> None:
    """Every twentieth ream is spoiled: from 44.5 s on the one person wraps it again, for 3 min.

    So the sixth carton is closed at 71 s, with ream 31, and the tenth at 109.5 s, with ream 52.
    """
    more = {
        "crew": {"size": 1, "lay_work_down": laid_down},
        "rework": {"places": 5, "people": 1, "rewrap_min": 3},
        "stop": [stop("wrapper", every_reams=20, restore_min=0, spoils_reams=1)],
    }
    record = packed(290 / 3600, **MAGAZINE, refill_min=1, more=more)
    stands = [s[:4] for s in spans_of(record, "carton_packer") if s[3] == "no blanks"]
    filled_from = 109.5 if laid_down else 44.5 + 180
    expected = [
        (109.5, filled_from, State.WAITING_PEOPLE, "no blanks"),
        (filled_from, filled_from + 60, State.CHANGEOVER, "no blanks"),
    ]
    assert stands[: len(expected) - laid_down] == expected[laid_down:]


def test_a_spoiled_carton_takes_a_blank_and_time_and_no_ream() -> None:
    record = packed(1, rate_cartons_per_min=30, spoiled_per_10000=5000)
    book = record.books.cartons
    assert book is not None
    assert book.cartons_spoiled > 100
    assert book.cartons == book.delivered / 5
    closed = book.cartons + book.cartons_spoiled
    assert 0 <= seconds_in(record, "carton_packer", State.RUNNING) - 2 * closed < 2
    found = next(e for e in station_effectiveness(record) if e.name == "carton_packer")
    assert found.quality == pytest.approx(book.cartons / closed)


def test_cartons_take_their_stops_by_reams() -> None:
    """After 100 reams, the twentieth carton; 40 s later the next of the five that wait comes."""
    jam = stop("carton_packer", "blank jam", every_reams=100, restore_min=0.5)
    record = packed(0.1, more={"stop": [jam]})
    spans = [s for s in spans_of(record, "carton_packer") if s[2] == State.DOWN]
    # Ream 100 is the last of set 25: full at 187.5, wrapped at 194.5, in its carton at 199.5.
    assert spans == [(199.5, 229.5, State.DOWN, "blank jam", None)]
