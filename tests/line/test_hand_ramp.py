"""The crew brings the webs up in steps: once they are threaded, and after a long standstill."""

from __future__ import annotations

from itertools import pairwise

from linesim.fast import simulate
from linesim.record import Record, State
from linesim.record.effectiveness import station_effectiveness
from linesim.scenario import ForcedStop
from tests.line.calm_line import METRE, SECOND, calm, one_web, spans_of

STEPS = {"hand_ramp_fractions": [0.25, 0.5], "hand_ramp_min": [1, 2]}
LONG = STEPS | {"hand_ramp_after_min": 5}


def stopped(*stops: tuple[float, float], **cutter: object) -> Record:
    """Half an hour of the calm line that stands at seconds for minutes."""
    forced = [ForcedStop(station="slitter", at_h=s / 3600, minutes=m) for s, m in stops]
    return simulate(calm(cutter=cutter), hours=0.5, forced=forced)


def ramps(record: Record) -> list[tuple[float, float]]:
    spans = spans_of(record, "cutter")
    return [(s[0], s[1]) for s in spans if s[2:4] == (State.SLOWED, "ramp by hand")]


def test_after_a_long_standstill_the_webs_come_up_in_steps() -> None:
    """Stopped at 360 s for 600 s: 60 s at 1 m/s, 120 s at 2 m/s, then 4 m/s.

    The ramp loses 60 x 3/4 + 120 x 1/2 = 105 s of rated speed.
    """
    record = stopped((360, 10), **LONG)
    assert ramps(record) == [(960, 1140)]
    assert record.books.web_um == 4 * (1800 - 600 - 105) * METRE
    sheeter = next(each for each in station_effectiveness(record) if each.name == "sheeter")
    assert sheeter.speed_ns == 105 * SECOND


def test_after_a_short_standstill_they_start_as_ever() -> None:
    assert ramps(stopped((360, 4.99), **LONG)) == []
    assert ramps(stopped((360, 10), **STEPS)) == []


def test_a_ramp_that_is_broken_off_begins_again() -> None:
    """Half-way in the second step the webs stand for a minute: the ramp is made once more."""
    assert ramps(stopped((360, 10), (1050, 1), **LONG)) == [(960, 1050), (1110, 1290)]


def test_its_cuts_leave_at_the_gate_where_that_is_said() -> None:
    """60 m and 240 m of cuts of 0.3 m: 1,000 cuts of 5 webs, each 0.3 m long."""
    record = stopped((360, 10), **LONG, hand_ramp_rejects=True)
    assert record.books.paper.rejected == {"after_stop": 1000 * 5 * 300_000}
    assert stopped((360, 10), **LONG).books.paper.rejected == {}


def test_every_web_break_is_followed_by_a_ramp() -> None:
    """Re-threading takes 3 minutes; a reel change, in which nothing tears, is followed by none."""
    line = one_web(
        cutter=STEPS,
        web_path={"breaks_per_100_reels": 300, "rethread_held_min": 3, "rethread_lost_min": 3},
    )
    record = simulate(line, hours=6)
    spans = spans_of(record, "web_path")
    after = {"web break": 0, "reel change": 0}
    for one, other in pairwise(spans):
        if one[3] in after:
            by_hand = other[2:4] == (State.SLOWED, "ramp by hand")
            assert by_hand == (one[3] == "web break")
            after[one[3]] += 1
    assert after["web break"] > 5
    assert after["reel change"] > 2


def test_who_waits_behind_waits_for_the_ramp() -> None:
    """A wrapper as fast as the sheeter has nothing to do for most of it, and says why."""
    roots = [s[4] for s in spans_of(stopped((360, 10), **LONG), "wrapper") if s[4] is not None]
    assert ("cutter", "ramp by hand") in roots


def test_the_last_run_up_is_one_as_ever() -> None:
    """Up at 15 m/min a second, the run-ups to the steps are part of them; from 120 to 240: 8 s."""
    record = stopped((360, 10), **LONG, run_up_m_per_min_per_s=15)
    spans = spans_of(record, "cutter")
    up = [(s[0], s[1]) for s in spans if s[3] == "run-up"]
    assert up[1:] == [(1140, 1148)]  # the first is that of the run
    assert ramps(record) == [(960, 1140)]
