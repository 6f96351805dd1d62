"""Spare stands that all webs share."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.fast import simulate
from linesim.record import Record, State
from tests.line.calm_line import METRE, REEL_M, SPEED_M_PER_S, calm, seconds_in, spans_of, stops_of

REEL_S = REEL_M / SPEED_M_PER_S
"""A fresh reel lasts 1943.86 s."""
SPLICE = {"change": "standstill_splice", "splice_min": 1, "prepare_people": 0, "splice_people": 0}
FLYING = SPLICE | {"change": "flying_splice", "splice_speed_m_per_min": 120}


def test_two_webs_with_one_spare_stand_wait_for_it_to_be_prepared() -> None:
    """Half a reel ends after 971.93 s; spliced in 60 s, the emptied stand is prepared 40 min long,
    until 3431.93 s. The other reel ends after 1943.86 s of running, at 2003.86 s."""
    unwind = SPLICE | {"webs": 2, "spare_stands": 1, "prepare_min": 40}
    record = simulate(calm(unwind=unwind, reels={"at_start": "staggered"}), hours=3500 / 3600)
    half = REEL_S / 2
    waits = [s[:2] for s in spans_of(record, "unwind") if s[2] == State.WAITING_REEL]
    assert waits == [pytest.approx((2 * half + 60, half + 60 + 2400), abs=1e-3)]
    assert stops_of(record, "unwind", "splice") == (2, pytest.approx(2400 - half + 120, abs=1e-3))


@pytest.mark.parametrize("butt_m", [0, 15])
@pytest.mark.parametrize(("slowing", "found"), [(0, (2, 600)), (6, (1, 660))])
def test_two_reels_that_end_together_stop_the_webs_for_the_one_without_a_stand(
    slowing: float, found: tuple[int, float], butt_m: float
) -> None:
    """One is spliced as it runs, or in a minute as it stands; the other when the emptied stand is
    prepared, 9 min later. From 240 m/min at 6 m/min per s webs need 80 m to stand, so that they
    stop before either is due; none of that paper is lost."""
    unwind = FLYING | {"webs": 2, "spare_stands": 1, "prepare_min": 9, "butt_length_m": butt_m}
    cutter = {"run_down_m_per_min_per_s": slowing}
    record = simulate(calm(unwind=unwind, cutter=cutter), hours=0.9)
    assert seconds_in(record, "unwind", State.WAITING_REEL) == pytest.approx(540, abs=1e-3)
    assert stops_of(record, "unwind", "splice") == (found[0], pytest.approx(found[1], abs=1e-3))
    assert record.books.paper.butts == pytest.approx(2 * butt_m * METRE, abs=10)


def test_six_stands_for_five_webs_are_enough_where_reels_end_apart() -> None:
    """Staggered reels end every 388.77 s of running; a stand is prepared in 6 min."""
    unwind = SPLICE | {"prepare_min": 6}
    staggered = {"at_start": "staggered"}
    found = [
        simulate(calm(unwind=unwind | stands, reels=staggered), hours=8)
        for stands in ({"stands_per_web": 2}, {"spare_stands": 1})
    ]
    assert seconds_in(found[1], "unwind", State.WAITING_REEL) == 0
    assert _told(found[0]) == _told(found[1])


@pytest.mark.parametrize("change", [SPLICE, FLYING])
@pytest.mark.parametrize("seed", range(4))
def test_a_spare_stand_for_each_web_does_what_pairs_do(change: dict[str, Any], seed: int) -> None:
    """As long as each web finds its own partner prepared, on the same luck, to the ns."""
    unwind = change | {
        "prepare_min": {"law": "lognormal", "mean": 6, "sd": 3},
        "prepare_people": 1,
        "splice_fail_chance": 0.1,
        "butt_length_m": 15,
    }
    tables: dict[str, Any] = {
        "reels": {"at_start": "random", "diameter_sd_mm": 20, "mill_joints_per_reel": 1},
        "web_path": {"path_length_m": 18, "breaks_per_100_reels": 20},
        "crew": {"size": 3},
    }
    pairs, spares = (
        simulate(calm(unwind=unwind | stands, **tables), hours=24, seed=seed)
        for stands in ({"stands_per_web": 2}, {"spare_stands": 5})
    )
    assert seconds_in(pairs, "unwind", State.WAITING_REEL) == 0
    assert _told(pairs) == _told(spares)
    # A reel on a spare stand is in the store's book until a web runs from it.
    at_start = [record.books.paper.at_start for record in (pairs, spares)]
    assert at_start[0] - at_start[1] > 5 * 0.8 * REEL_M * METRE


def _told(record: Record) -> tuple[Any, ...]:
    return record.sums, record.stops, record.books.reams, record.books.sheets


@pytest.mark.parametrize("seed", range(10))
def test_with_people_for_all_more_spare_stands_make_no_splice_later(seed: int) -> None:
    """Reels end at the same places whatever stands there are: the k-th splice waits for the end of
    the (k - n)-th preparing, of whichever stands are done first. On the same luck, exactly."""
    unwind = SPLICE | {"prepare_min": {"law": "exponential", "mean": 25}}
    reels = {"at_start": "random", "diameter_sd_mm": 30}
    good = [
        simulate(
            calm(unwind=unwind | {"spare_stands": spares}, reels=reels),
            hours=48,
            seed=seed,
            history=False,
        ).books.reams.good
        for spares in range(1, 7)
    ]
    assert good == sorted(good)
    assert good[0] < good[-1]


def test_reels_changed_together_take_no_more_spares_than_are_prepared() -> None:
    """All below 4000 m could change with the first, of 1/5 of a reel; there are stands for two."""
    unwind = SPLICE | {"spare_stands": 2, "prepare_min": 9, "change_together_below_m": 4000}
    record = simulate(calm(unwind=unwind, reels={"at_start": "staggered"}), hours=500 / 3600)
    assert stops_of(record, "unwind", "splice") == (1, 60.0)
    assert record.books.paper.butts == pytest.approx(REEL_M / 5 * METRE, abs=10)


def test_a_change_of_grade_brings_reels_to_prepared_spare_stands_too() -> None:
    """Nothing waits for a stand afterwards, and paper that came and went balances."""
    orders = [{"name": "a", "reams": 300}, {"name": "b", "reams": 900, "grammage_g_per_m2": 90}]
    unwind = SPLICE | {"spare_stands": 2, "prepare_min": 9}
    record = simulate(calm(unwind=unwind, order=orders), hours=2)
    assert seconds_in(record, "unwind", State.WAITING_REEL) == 0
    assert record.books.paper.loaded == 5 * round(REEL_M * METRE)
