"""Two carton packers on the calm line: five reams wait for each other by 19, 27.5, 36, 44.5 s.

From then on the same every 37.5 s. "near" takes 12 s for a carton, "far" 15 s.
"""

from __future__ import annotations

from typing import Any

from linesim.line import simulate
from linesim.record import Record, State, station_effectiveness
from linesim.record.audit import audit
from linesim.record.effectiveness import line_effectiveness
from linesim.scenario import ForcedStop
from tests.line.calm_line import SECOND, calm, seconds_in, spans_of, stop

NEAR = {"name": "near", "rate_cartons_per_min": 5, "conveyor_reams": 3}
FAR = {"name": "far", "rate_cartons_per_min": 4, "conveyor_reams": 4}


def packed(seconds: float, *, forced: tuple[ForcedStop, ...] = (), **more: Any) -> Record:
    line = calm(**{"carton_packer": [NEAR, FAR]} | more)
    record = simulate(line, hours=seconds / 3600, forced=forced)
    assert [fault for check in audit(record) for fault in check.faults] == []
    return record


def test_the_first_that_is_free_takes_the_reams_of_a_carton() -> None:
    """near at 19, 36, 56.5 and 73.5 s; far, when near is at work, at 27.5, 44.5, 65 and 82 s."""
    record = packed(90)
    assert record.stations[-2:] == ("near", "far")
    assert record.taken_out == (4 * 5, 3 * 5)
    assert seconds_in(record, "near", State.RUNNING) == 4 * 12
    assert seconds_in(record, "far", State.RUNNING) == 3 * 15 + 8
    book = record.books.cartons
    assert book is not None
    assert (book.cartons, book.delivered) == (7, 35)


def test_of_two_that_are_free_the_first_in_the_list_has_them() -> None:
    """near, as fast as the wrapper, is free again before the next five have come."""
    record = packed(90, carton_packer=[NEAR | {"rate_cartons_per_min": 12}, FAR])
    assert record.taken_out == (8 * 5, 0)


def test_who_stands_leaves_its_reams_to_the_other() -> None:
    """near stands from 20 s on with the first carton in hand: far packs at 27.5, 42.5, 57.5 s."""
    forced = (ForcedStop(station="near", at_h=20 / 3600, minutes=1),)
    record = packed(79, forced=forced)
    assert record.taken_out == (0, 3 * 5)
    down = [span[:2] for span in spans_of(record, "near") if span[2] == State.DOWN]
    assert down == [(20, 79)]


def test_they_share_what_can_wait_before_both() -> None:
    """At 360 s three reams wait; 3 + 4 places and two groups of five take 14 more, one is held."""
    forced = (ForcedStop(station="carton_packer", at_h=0.1, minutes=10),)
    record = packed(720, forced=forced)
    assert record.history is not None
    blocked = [s for s in spans_of(record, "wrapper") if s[2] == State.BLOCKED]
    assert blocked[0][4] == ("near", "forced stop")
    ends = record.history.ream_end_ns / SECOND
    assert ((ends > 360) & (ends <= blocked[0][0])).sum() == 15


def test_a_cause_of_both_falls_on_each_by_its_own_meter() -> None:
    """near has packed 20 reams at 85.5 s, far at 97 s; a cause of far alone is its own."""
    both = stop("carton_packer", "blank jam", every_reams=20, restore_min=0.25)
    own = stop("far", "tape", every_reams=10, restore_min=0.01)
    record = packed(98, stop=[both, own])
    jams = {
        name: [s[0] for s in spans_of(record, name) if s[3] == "blank jam"]
        for name in ("near", "far")
    }
    # Twice far has stood for its tape by then, 0.6 s, with nothing to pack: it is as early.
    assert jams == {"near": [85.5], "far": [97]}
    tapes = [s[0] for s in spans_of(record, "far") if s[3] == "tape"]
    assert tapes[0] == 59.5


def test_each_has_a_magazine_of_its_own() -> None:
    """near has used two blanks at 48 s, and stands: nobody has filled it by 90 s."""
    blanks = {"magazine_blanks": 2, "refill_at_blanks": 0, "refill_people": 0, "refill_min": 5}
    record = packed(90, carton_packer=[NEAR | blanks, FAR])
    stands = [s[:2] for s in spans_of(record, "near") if s[3] == "no blanks"]
    assert stands == [(48, 90)]
    assert [s for s in spans_of(record, "far") if s[3] == "no blanks"] == []


def test_when_a_belt_has_room_again_the_carton_that_has_waited_longest_goes_on() -> None:
    """The palletiser takes 20 s a carton: 31 to 51 s, and no carton may wait.

    far closes one at 42.5 s and holds it, near at 48 s; at 51 s the palletiser takes that of far,
    at 71 s that of near.
    """
    palletiser = {"rate_cartons_per_min": 3, "belt_cartons": 0, "change_s": 0}
    record = packed(72, palletiser=palletiser)
    held = {
        name: next(s[:2] for s in spans_of(record, name) if s[2] == State.BLOCKED)
        for name in ("near", "far")
    }
    assert held == {"near": (48, 71), "far": (42.5, 51)}


def test_effectiveness_of_each_and_of_both_adds_up() -> None:
    """An hour of both is one in which they make 45 reams a minute: near 25 of them, far 20."""
    jam = stop("far", "tape", every_reams=100, restore_min=1)
    slow = {"near": 5, "far": 4}
    record = packed(3600, stop=[jam], palletiser={"rate_cartons_per_min": 30, "change_s": 0})
    found = {each.name: each for each in station_effectiveness(record)}
    both = found["carton_packer"]
    assert both.rated_reams_per_min == 45
    for loss in ("breakdown_ns", "set_up_ns", "minor_ns"):
        of_each = sum(getattr(found[name], loss) * rate / 9 for name, rate in slow.items())
        assert abs(getattr(both, loss) - of_each) <= 1
    assert sum(both.staircase().values()) == both.planned_busy_ns
    made = sum(record.taken_out[:2])
    assert abs(both.good_ns - made * 60 * SECOND / 45) < 60 * SECOND
    assert line_effectiveness(record).name == "line, by its sheeter"


def test_when_all_move_again_at_once_each_takes_the_time_of_a_carton() -> None:
    """Both stand idle from 362 s on, then for a break that ends at 1,200 s, with 17 reams waiting.

    near takes five then, the wrapper lets go of one, and far takes five: both are done at 1,205 s.
    """
    quick = [each | {"rate_cartons_per_min": 12} for each in (NEAR, FAR)]
    forced = (ForcedStop(station="carton_packer", at_h=362 / 3600, minutes=10),)
    pause = {"start_h": 0.25, "minutes": 5}

    def taken(seconds: float) -> tuple[int, ...]:
        more = {"carton_packer": quick, "break_": [pause]}
        return packed(seconds, forced=forced, **more).taken_out

    assert taken(1200.5) == taken(1204.5) == (37 * 5, 0)
    assert taken(1205.5) == (38 * 5, 5)
