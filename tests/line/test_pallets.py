"""A palletiser on the calm line, behind a packer of a carton a second.

Cartons are closed at 20, 28.5, 37 and 45.5 s, and so on every 37.5 s: four to a pallet here.
"""

from __future__ import annotations

from typing import Any

import pytest

from linesim.line import simulate
from linesim.record import Record, State, station_rates
from linesim.record.audit import audit
from tests.line.calm_line import SECOND, calm, spans_of, stop

PALLETISER = {
    "rate_cartons_per_min": 60,
    "cartons_per_layer": 2,
    "layers_per_pallet": 2,
    "layer_sheet_s": 2,
    "change_s": 0,
}
WAITS = ("palletiser", "full pallets wait")


def laid(seconds: float, *, more: dict[str, Any] | None = None, **palletiser: Any) -> Record:
    line = calm(
        carton_packer={"rate_cartons_per_min": 60},
        palletiser=PALLETISER | palletiser,
        **(more or {}),
    )
    record = simulate(line, hours=seconds / 3600)
    assert [fault for check in audit(record) for fault in check.faults] == []
    return record


def own_spans(record: Record, cause: str) -> list[Any]:
    return [span[:4] for span in spans_of(record, "palletiser") if span[3] == cause]


def test_a_layer_has_its_sheet_and_a_full_pallet_is_changed() -> None:
    """The fourth carton and its sheet take 3 s; the fifth, of 57.5 s, waits for the pallet."""
    record = laid(80, change_s=30)
    assert own_spans(record, "pallet change") == [(48.5, 78.5, State.CHANGEOVER, "pallet change")]
    work = [span[:2] for span in spans_of(record, "palletiser") if span[2] == State.RUNNING]
    assert work[0] == (20.0, 21.0)
    assert work[-1][0] == 78.5
    book = record.books.cartons
    assert book is not None
    assert (book.pallets, book.delivered) == (1, 20)
    # Of set 10, full at 75 s, one ream is wrapped at 79 s and one at 80 s, as the run ends.
    assert (book.came, book.at_end) == (38, 18)


def test_people_change_it_when_they_come() -> None:
    """With the fourth carton, at 45.5 s, the packer jams: that takes the one there is a minute."""
    away = stop("carton_packer", every_reams=20, people=1, restore_min=1)
    record = laid(140, change_s=30, change_people=1, more={"stop": [away], "crew": {"size": 1}})
    assert own_spans(record, "pallet change") == [
        (48.5, 105.5, State.WAITING_PEOPLE, "pallet change"),
        (105.5, 135.5, State.CHANGEOVER, "pallet change"),
    ]


def test_a_full_pallet_that_finds_no_place_waits_for_the_truck() -> None:
    """Pallets are full at 48.5 and 86 s; one may wait. The truck comes at 240 and 480 s."""
    record = laid(481, truck_every_min=4, full_pallet_places=1)
    blocked = own_spans(record, WAITS[1])
    assert blocked[0] == (86.0, 240.0, State.BLOCKED, WAITS[1])
    assert blocked[1][1:] == (480.0, State.BLOCKED, WAITS[1])
    before = [s for s in spans_of(record, "wrapper") if s[2] == State.BLOCKED]
    assert {s[4] for s in before} == {WAITS}
    (total,) = [s for s in record.stops if record.causes[s.cause] == WAITS[1]]
    assert (total.count, total.ns / SECOND) == (2, sum(s[1] - s[0] for s in blocked))
    rate = next(r for r in station_rates(record.scenario) if r.station == "palletiser")
    assert rate.net == pytest.approx(20 / 4)


def test_a_truck_takes_several_if_so_many_wait() -> None:
    """The fourth pallet, of 161 s, finds no place; the one after the truck is full 8 s later."""
    record = laid(270, truck_every_min=4, truck_takes_pallets=3, full_pallet_places=3)
    assert own_spans(record, WAITS[1]) == [(161.0, 240.0, State.BLOCKED, WAITS[1])]


def test_people_fetch_one_pallet_after_another() -> None:
    """The first is fetched from 48.5 s on; the next one, set off then, from 348.5 s on."""
    record = laid(400, fetch_min=5, full_pallet_places=1, more={"crew": {"size": 1}})
    blocked = own_spans(record, WAITS[1])
    assert blocked[0] == (86.0, 348.5, State.BLOCKED, WAITS[1])
    assert len(blocked) == 2


def test_who_fetches_is_called_from_what_can_wait() -> None:
    """Wrapping again began earlier and may wait; a palletiser that stands may not."""
    more = {
        "crew": {"size": 1, "priority_prepare": 9, "priority_rework": 1},
        "rework": {"places": 50, "people": 1, "rewrap_min": 10},
        "stop": [stop("wrapper", every_reams=3, restore_min=0, spoils_reams=1)],
    }
    record = laid(600, fetch_min=1, full_pallet_places=1, more=more)
    blocked = own_spans(record, WAITS[1])
    assert blocked[0][1] - blocked[0][0] == 60
