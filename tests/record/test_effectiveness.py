"""Effectiveness and losses from records written by hand."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim.record import Loss
from linesim.record.effectiveness import (
    Pieces,
    account,
    line_effectiveness,
    speed_loss_by_web_ns,
    station_effectiveness,
    wrapper_shares,
)
from tests.record.by_hand import MINUTE, books_of, record, scenario

RUNNING = {
    Loss.PRODUCING: 400,
    Loss.BREAKDOWN: 40,
    Loss.SET_UP: 10,
    Loss.MINOR: 20,
    Loss.PLANNED: 10,
}

whole = st.integers(0, 10**17)
pieces = st.builds(
    Pieces,
    good=st.fractions(0, 10**6),
    start_up_rejects=st.fractions(0, 10**4),
    process_rejects=st.fractions(0, 10**4),
    on_the_line=st.fractions(-100, 100),
)


@given(
    st.tuples(*[whole] * len(Loss)),
    st.floats(0.01, 1e4),
    pieces,
)
def test_steps_add_up_to_planned_time_whatever_the_account(row, rate, made):
    found = account("station", row, [(rate, made)])
    assert sum(found.staircase().values()) == found.planned_busy_ns
    assert found.planned_busy_ns + row[Loss.PLANNED] == sum(row) == found.total_ns


@given(
    st.tuples(*[st.integers(10**12, 10**15)] * len(Loss)),
    st.floats(0.1, 1e3),
    st.builds(
        Pieces,
        good=st.fractions(1, 10**6),
        start_up_rejects=st.fractions(0, 10**4),
        process_rejects=st.fractions(0, 10**4),
        on_the_line=st.fractions(-100, 100),
    ),
)
def test_oee_is_good_output_by_planned_time(row, rate, made):
    found = account("station", row, [(rate, made)])
    # Where more was delivered than the time allows, what stood on the line before is the rest.
    above = float((made.good + made.start_up_rejects + made.process_rejects) / Fraction(rate))
    above -= row[Loss.PRODUCING] / MINUTE
    before = min(max(0, above), float(max(0, -made.on_the_line) / Fraction(rate)))
    good = max(0, float(made.good / Fraction(rate)) - before)
    # Each kind of piece is rounded to the nanosecond.
    expected = good * MINUTE / found.planned_busy_ns
    assert found.oee == pytest.approx(expected, rel=1e-6, abs=1e-9)


def test_a_rate_of_zero_is_refused():
    with pytest.raises(ValueError, match="above 0"):
        account("station", (0,) * len(Loss), [(0, None)])


def test_line_is_judged_at_its_output_against_the_slowest_rated_station():
    # 1,800 cuts of 100 make 90 reams more than the 17,900 that follow would: worked by hand.
    books = books_of(
        good=17_500,
        cuts_to_pockets=355_000,
        repulped=50,
        set_aside=30,
        sheets_cleared=1000,
        rejected={"after_stop": 600, "spoiled": 200, "no_room": 100, "splice": 500, "defect": 40},
    )
    line = line_effectiveness(record(scenario(), sheeter=RUNNING, others=RUNNING, books=books))
    assert line.rated_reams_per_min == pytest.approx(50)
    assert line.name == "line, by its sheeter"
    # 20 cuts make a ream (5 webs x 5 lanes = 25 sheets a cut).
    ream_ns = MINUTE / 50
    assert line.start_up_ns == pytest.approx(900 / 20 * ream_ns)
    assert line.process_ns == pytest.approx((540 / 20 + 1000 / 500 + 80) * ream_ns)
    assert line.on_the_line_ns == pytest.approx((355_000 / 20 - 2 - 17_500 - 80) * ream_ns)
    assert line.availability == pytest.approx(400 / 470)
    produced = 17_500 + 45 + 27 + 2 + 80
    assert line.quality == pytest.approx(17_500 / produced)
    assert line.performance == pytest.approx(produced / (50 * 400))
    assert line.oee == pytest.approx(17_500 / (50 * 470))


def test_line_behind_a_slow_wrapper_counts_only_what_was_wrapped():
    slow = scenario(wrapper=[{"name": "wrapper", "rate_reams_per_min": 40}])
    books = books_of(
        good=15_000,
        cuts_to_pockets=320_000,
        repulped=20,
        reworked=30,
        set_aside=9,
        rejected={"after_stop": 500},
    )
    made = record(
        slow, sheeter=RUNNING, others={Loss.PRODUCING: 480}, books=books, wrapped_by=(15_025,)
    )
    line = line_effectiveness(made)
    assert line.name == "line, by its wrappers"
    steps = (line.good_ns, line.start_up_ns, line.process_ns, line.on_the_line_ns)
    assert steps == tuple(reams * MINUTE // 40 for reams in (15_000, 0, 20, 5))
    assert line.availability == 1
    assert line.oee == pytest.approx(15_000 / (40 * 480))


def test_each_station_is_judged_at_its_own_speed():
    books = books_of(good=17_000, cuts_to_pockets=341_000, repulped=10, reworked=5)
    found = {
        each.name: each
        for each in station_effectiveness(
            record(scenario(), sheeter=RUNNING, others=RUNNING, books=books, wrapped_by=(17_020,))
        )
    }
    assert list(found) == ["sheeter", "transfer", "bridge", "wrapper"]
    assert found["sheeter"].performance == pytest.approx(17_050 / (50 * 400))
    assert found["wrapper"].quality == pytest.approx(16_995 / 17_020)
    assert found["wrapper"].performance == pytest.approx(17_020 / (60 * 400))
    assert found["bridge"].oee is None
    assert found["bridge"].availability == pytest.approx(400 / 470)


def test_wrappers_together_weigh_by_their_speed():
    two = scenario(
        wrapper=[
            {"name": "A", "rate_reams_per_min": 30},
            {"name": "B", "rate_reams_per_min": 10},
        ]
    )
    books = books_of(good=16_000, cuts_to_pockets=320_000)
    made = record(two, sheeter=RUNNING, others=RUNNING, books=books, wrapped_by=(12_000, 4_000))
    assert list(wrapper_shares(made).values()) == [Fraction(3, 4), Fraction(1, 4)]
    found = {each.name: each for each in station_effectiveness(made)}
    assert list(found)[-3:] == ["A", "B", "wrappers"]
    assert found["wrappers"].total_ns == made.end_ns
    assert found["wrappers"].performance == pytest.approx(1)


def test_reduced_speed_is_found_from_the_web_as_well():
    books = books_of(good=19_000, cuts_to_pockets=380_000, rejected={"defect": 1000})
    made = record(scenario(), sheeter=RUNNING, others=RUNNING, books=books)
    sheeter = station_effectiveness(made)[0]
    assert sheeter.speed_ns == (400 - 381) * MINUTE
    assert speed_loss_by_web_ns(made) == sheeter.speed_ns


def test_nothing_made_is_neither_bad_nor_a_crash():
    made = record(
        scenario(),
        sheeter={Loss.PLANNED: 60},
        others={Loss.PLANNED: 60},
        books=books_of(good=0, cuts_to_pockets=0),
    )
    line = line_effectiveness(made)
    assert (line.availability, line.performance, line.quality, line.oee) == (0, 0, 1, 0)
