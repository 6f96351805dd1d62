"""Part reels that go back to the store at a change of grade, and are taken again."""

from __future__ import annotations

from typing import Any

import pytest

from linesim.fast import simulate
from linesim.record import Record
from linesim.record.audit import audit
from linesim.scenario import Scenario
from tests.line.calm_line import METRE, REEL_M, SPEED_M_PER_S, one_web, spans_of, stops_of
from tests.trust.runs_alike import history_digest

THICK = {"grammage_g_per_m2": 100, "thickness_um": 125}
SET_S = 7.5
"""100 cuts of 300 mm at 4 m/s make a set of 4 reams."""


def order(number: int, reams: int, **paper: Any) -> dict[str, Any]:
    return {"name": f"order {number}", "reams": reams} | paper


def line(again: bool, *orders: dict[str, Any], **tables: Any) -> Scenario:
    changeover = {"grade_min": 10, "people": 0, "part_reels": "taken_again" if again else "left"}
    return one_web(
        order=list(orders),
        changeover=changeover,
        **{"unwind": {"change_min": 1}, **tables},
    )


def moves(record: Record) -> list[tuple[bool, float]]:
    """Reels taken from the store and brought back: whether back, and m."""
    return [(move.back, move.length_um / METRE) for move in record.supplies.reels]


ABA = (order(1, 400), order(2, 400, **THICK), order(3, 400))
"""400 reams are 100 sets of 30 m: 3,000 m."""


def test_a_part_reel_comes_again_as_it_went() -> None:
    """7,775.44 m less 3,000 m goes back, and is put on before a fresh reel; left there, another
    whole one is taken. The thick reel of 6,220 m goes back with 3,220 m."""
    thick_m = REEL_M * 100 / 125
    went = [
        (False, pytest.approx(REEL_M)),
        (True, pytest.approx(REEL_M - 3000)),
        (False, pytest.approx(thick_m)),
        (True, pytest.approx(thick_m - 3000)),
    ]
    again, left = (simulate(line(each, *ABA), hours=2) for each in (True, False))
    assert moves(again) == [*went, (False, pytest.approx(REEL_M - 3000))]
    assert moves(left) == [*went, (False, pytest.approx(REEL_M))]
    back_um = again.supplies.reels[1].length_um
    assert again.supplies.reels[4].length_um == back_um, "to the micrometre"
    for record in (again, left):
        assert [fault for check in audit(record) for fault in check.faults] == []
        assert record.books.reams.good == 1200


def test_it_runs_out_sooner_than_a_fresh_one() -> None:
    """The last order takes 6,000 m: 4,775 m of the part reel, then a change; a fresh reel lasts."""
    orders = (*ABA[:2], order(3, 800))
    again, left = (simulate(line(each, *orders), hours=2) for each in (True, False))
    assert stops_of(again, "unwind", "reel change")[0] == 1
    assert stops_of(left, "unwind", "reel change")[0] == 0


def test_its_joints_are_where_they_were() -> None:
    """Joints at 1,000 and 4,000 m: the first is gone with the first order, the second comes 1,000 m
    into the third, 250 s after it began."""
    path = {
        "break_chance_at_joint": 1,
        "rethread_held_min": 2,
        "rethread_lost_min": 2,
        "rethread_people": 0,
    }
    joints = {"mill_joints_at_m": [1000, 4000]}
    record = simulate(line(True, *ABA, reels=joints, web_path=path), hours=2)
    broken = [s[0] for s in spans_of(record, "web_path") if s[3] == "web break"]
    # The thick reel has a joint at 1,000 m of its own; every order begins where a change ends.
    ends = [
        s[1]
        for s in spans_of(record, "unwind")
        if s[3] == "change of grade" and s[2].name != "RUNNING"
    ]
    begins = [0.0, ends[0], ends[-1]]
    expected = [begin + 1000 / SPEED_M_PER_S for begin in begins]
    assert broken == pytest.approx(expected, abs=1.5)


def test_what_is_threaded_anew_is_taken_off_it() -> None:
    """18 m stay in the machine and are lost with the old paper; 18 m of the part reel are threaded.

    When the run begins the web is threaded; so the first reel has lost its path once.
    """
    orders = (*ABA, order(4, 400, **THICK))
    record = simulate(line(True, *orders, web_path={"path_length_m": 18}), hours=2)
    thick_m = REEL_M * 100 / 125
    lengths = [length for _, length in moves(record)]
    assert lengths[3] == pytest.approx(thick_m - 3000 - 18, abs=1)
    assert lengths[6] == lengths[3]
    assert lengths[5] == pytest.approx(REEL_M - 2 * 3000 - 18, abs=1)
    assert [fault for check in audit(record) for fault in check.faults] == []


def test_a_reel_too_short_to_run_stays_in_the_store() -> None:
    """7,775 m less 7,740 m of the first order is 35 m: the path of 20 m and the butt of 15."""
    orders = (order(1, 1032), *ABA[1:])
    unwind = {"change_min": 1, "butt_length_m": 15}
    short = line(True, *orders, unwind=unwind, web_path={"path_length_m": 20})
    record = simulate(short, hours=3)
    assert moves(record)[1][0]
    assert 0 < moves(record)[1][1] <= 36
    assert moves(record)[-1] == (False, pytest.approx(REEL_M))


def test_of_a_pair_both_come_again() -> None:
    """The part reel is put on, the prepared one is on the second stand again: no fresh reel."""
    unwind = {
        "stands_per_web": 2,
        "change": "standstill_splice",
        "splice_people": 0,
        "prepare_people": 0,
    }
    record = simulate(line(True, *ABA, unwind=unwind), hours=2)
    taken = [length for back, length in moves(record) if not back]
    assert len(taken) == 6
    assert sorted(taken[4:]) == pytest.approx([REEL_M - 3000, REEL_M])
    fresh = sum(length > REEL_M - 1 for length in taken[:2])
    assert fresh == 2
    assert [fault for check in audit(record) for fault in check.faults] == []


def test_left_in_the_store_is_what_a_line_does_that_says_nothing() -> None:
    said = line(False, *ABA)
    unsaid = said.model_copy(
        update={"changeover": said.changeover.model_validate({"grade_min": 10, "people": 0})}
    )
    assert history_digest(simulate(said, hours=2)) == history_digest(simulate(unsaid, hours=2))


@pytest.mark.parametrize("seed", range(6))
def test_both_ways_of_running_take_the_same(seed: int) -> None:
    """Bad reels, joints, breaks, pairs and five webs: books to the micrometre, in both."""
    orders = [order(n, 200 + 40 * n, **(THICK if n % 2 else {})) for n in range(6)]
    web_path = {"path_length_m": 18, "breaks_per_100_reels": 200, "rethread_people": 0}
    scenario = line(
        True,
        *orders,
        product={"sheets_per_ream": 500},
        web_path=web_path | {"break_chance_at_joint": 0.5},
        reels={
            "diameter_mm": 500,
            "diameter_sd_mm": 20,
            "mill_joints_per_reel": 1,
            "bad_share": 0.3,
            "bad_breaks_factor": 6,
        },
        unwind={"webs": 5, "butt_length_m": 15}
        | (
            {"stands_per_web": 2, "change": "flying_splice", "prepare_min": 4}
            if seed % 2
            else {"change_min": 2}
        ),
    )
    one, other = (
        simulate(scenario, hours=3, seed=seed, engine=engine)
        for engine in ("interpreted", "compiled")
    )
    assert history_digest(one) == history_digest(other)
    assert [fault for check in audit(one) for fault in check.faults] == []
    assert one.books.paper.returned > 0
