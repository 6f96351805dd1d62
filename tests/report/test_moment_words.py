"""A moment in words."""

from __future__ import annotations

import linesim
from linesim.fast import simulate
from linesim.record.moments import moment_at
from linesim.scenario import ForcedStop
from tests.line.calm_line import SECOND, calm


def test_labels_of_a_calm_moment():
    moment = moment_at(simulate(calm(), hours=0.25), 9 * SECOND)
    labels = linesim.report.moment_labels(moment)
    assert labels.time == "0:00:09"
    assert labels.order == ""
    assert labels.speed == "webs at 240 of 240 m/min"
    assert labels.reels == ("998 mm",) * 5
    assert labels.pockets == "20 of 100 cuts"
    assert labels.sets == "set of 4 being carried"
    assert labels.bridge == "0 of 100 reams"
    assert labels.wrappers == ("no ream",)


def test_the_picture_in_sentences():
    moment = moment_at(simulate(calm(), hours=0.25), 9 * SECOND)
    words = linesim.report.describe_moment(moment)
    assert words.startswith("At 0:00:09: webs at 240 of 240 m/min. Reels: web 1 998 mm, web 2")
    assert "Each of 4 pockets holds 20 of 100 cuts. Under way: set of 4 being carried." in words
    assert "On the bridge: 0 of 100 reams. Wrapper: no ream." in words


def test_a_standing_line_names_what_it_waits_for():
    stops = [ForcedStop(station="wrapper", at_h=5 / 3600, minutes=10)]
    line = calm(bridge={"places": 6}, order=[{"name": "white", "reams": 9000}])
    moment = moment_at(simulate(line, hours=0.25, forced=stops), 100 * SECOND)
    words = linesim.report.describe_moment(moment)
    assert "order white: webs stand." in words
    assert "A full set waits in the pockets." in words
    assert "Sheeter and transfer are blocked by wrapper: forced stop." in words
    assert "Wrapper is down: forced stop." in words
    assert "set of 4 waiting at the bridge; set of 4 waits in the pockets" in words


def test_a_running_line_says_so():
    moment = moment_at(simulate(calm(wrapper=[{"rate_reams_per_min": 31}]), hours=0.25), 10**11)
    # The transfer waits for sets between its moves.
    waiting = linesim.report.states_in_words(moment)
    assert waiting in ((), ("Transfer is starved by cutter: its pace",))


def test_strip_and_drawing_say_the_same_of_a_station():
    record = simulate(calm(bridge={"places": 6}, wrapper=[{"rate_reams_per_min": 20}]), hours=0.25)
    spans = record.history.spans
    told = set()
    for number, name in enumerate(record.stations):
        own = spans.of(number)
        for row in range(0, len(own.state), 7):
            drawn = moment_at(record, int(own.start_ns[row])).station(name)
            places = int(own.root_station[row]), int(own.root_cause[row])
            state, cause = linesim.record.State(own.state[row]), int(own.cause[row])
            assert drawn.words == linesim.report.state_words(record, state, cause, *places)
            told.add(drawn.words)
    assert "blocked by wrapper: its pace" in told
