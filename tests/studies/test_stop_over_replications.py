"""One stop over many replications: pairs of runs, with and without it."""

from __future__ import annotations

import pytest

from linesim.fast import simulate
from linesim.report.disturbance_in_words import over_replications_words
from linesim.report.words import TWO_PARTS
from linesim.scenario import ForcedStop
from linesim.studies.plants_met import PlantsMet
from linesim.studies.stop_over_replications import StopOverReplications, stop_cost_over_replications
from tests.line.calm_line import calm, stop

KNIVES = ForcedStop(station="cutter", at_h=0.1, minutes=5)


def test_on_a_line_without_chance_every_pair_loses_what_was_not_cut():
    found = stop_cost_over_replications(calm(), (KNIVES,), hours=0.5, replications=3)
    # 32 reams a minute that the knives cut; the line has no other stop.
    assert found.reams_lost == (160, 160, 160)
    assert found.interval is not None
    assert (found.interval.mean, found.interval.half_width) == (160, 0)


def test_each_pair_is_of_one_replication():
    jam = stop("wrapper", "jam", every_reams={"law": "exponential", "mean": 200})
    scenario = calm(stop=[jam], bridge={"places": 40})
    found = stop_cost_over_replications(scenario, (KNIVES,), hours=0.5, seed=4, replications=3)
    for number, lost in enumerate(found.reams_lost):
        with_it, without = (
            simulate(scenario, seed=4, replication=number, hours=0.5, forced=stops)
            for stops in ((KNIVES,), ())
        )
        assert lost == without.books.reams.good - with_it.books.reams.good
    assert (found.least, found.most) == (min(found.reams_lost), max(found.reams_lost))
    assert found.least < found.most


def doubted_line():
    jam = stop(
        "wrapper",
        "jam",
        every_reams={"law": "exponential", "mean": 100},
        doubt=[{"of": "every_reams", "between": [50, 200], "why": "a guess"}],
    )
    return calm(stop=[jam], bridge={"places": 40})


def test_where_something_is_doubted_each_pair_is_of_one_plant():
    line = doubted_line()
    found = stop_cost_over_replications(line, (KNIVES,), hours=0.5, seed=4, replications=9)
    assert len(found.reams_lost) == 12
    met = PlantsMet(line, 4)
    # The third square: a plant and its image, under two lucks.
    for lost, plant, replication in zip(
        found.reams_lost[8:], (3, -3, 3, -3), (4, 4, 5, 5), strict=True
    ):
        with_it, without = (
            simulate(
                met.line(met.stated, plant),
                seed=4,
                replication=replication,
                hours=0.5,
                forced=stops,
            )
            for stops in ((KNIVES,), ())
        )
        assert lost == without.books.reams.good - with_it.books.reams.good
    interval = found.interval
    assert interval is not None
    assert interval.doubt > 0
    words = over_replications_words(found)
    assert "Over 12 runs, each with its own other stops" in words
    assert f"costs {interval.text()} reams" in words
    assert words.endswith(f"{TWO_PARTS}.")


def test_fewer_than_two_squares_have_no_interval_and_prices_make_no_plants():
    cut_short = stop_cost_over_replications(
        doubted_line(), (KNIVES,), hours=0.2, progress=lambda done, _: done < 7
    )
    assert (len(cut_short.reams_lost), cut_short.interval) == (7, None)
    money = {"wrapper_price": 3, "doubt": [{"of": "wrapper_price", "between": [2, 4]}]}
    priced = stop_cost_over_replications(calm(money=money), (KNIVES,), hours=0.2, replications=2)
    assert (len(priced.reams_lost), priced.crossing) == (2, None)


def test_it_can_be_stopped_and_rests_on_the_pairs_so_far():
    told = []

    def progress(done: int, asked: int) -> bool:
        told.append((done, asked))
        return done < 2

    found = stop_cost_over_replications(
        calm(), (KNIVES,), hours=0.2, replications=5, progress=progress
    )
    assert told == [(1, 5), (2, 5)]
    assert len(found.reams_lost) == 2


def test_no_replication_is_no_answer():
    with pytest.raises(ValueError, match="replications is 0"):
        stop_cost_over_replications(calm(), (KNIVES,), hours=1, replications=0)


def test_words_have_mean_interval_and_range():
    words = over_replications_words(StopOverReplications((0, 205, 360, 240), 8.0))
    assert "Over 4 runs" in words
    assert "costs 200 ± 240 reams by the end of a run of 8 h" in words
    assert "95 % interval" in words
    assert "in single runs 0 to 360." in words
    assert "in single runs −3 to 12 (below 0:" in over_replications_words(
        StopOverReplications((-3, 12), 8.0)
    )
    assert "costs 1 ream by" in over_replications_words(StopOverReplications((1,), 8.0))
