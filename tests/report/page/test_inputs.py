"""Where the figures of a scenario come from, as a report tells it."""

from __future__ import annotations

import pytest

from linesim.report.page.inputs import (
    COMMON_PRACTICE,
    input_grids,
    inputs_of,
    is_common_practice,
    stops_grid,
    value_text,
)
from linesim.scenario import check_text
from linesim.scenario.comments import comments
from linesim.scenario.laws import Constant, Weibull

TEXT = """
# About the file, not about a field.

[bridge]
length_m = 7          # paced out in May
# two lines
# above it
tracks = 2
ream_pitch_mm = 330

[crew]
size = 4   # 'four', "not # three"

[outfeed]

[[stop]]
cause = "wrapper jam"
every_reams = 400     # counted last year

[[stop]]
cause = "outfeed jam"

[[stop]]
cause = "fork lift in the way"
station = "outfeed"
every_clock_h = { law = "weibull", mean = 20, shape = 2 }
restore_min = 3
note = "asked the foreman"
"""


def test_a_comment_belongs_to_the_field_beside_or_below_it():
    said = comments(TEXT)
    assert said["bridge", "length_m"] == "paced out in May"
    assert said["bridge", "tracks"] == "two lines above it"
    assert said["crew", "size"] == "'four', \"not # three\""
    assert ("bridge", "ream_pitch_mm") not in said
    assert said["stop", 0, "every_reams"] == "counted last year"


@pytest.mark.parametrize("line", ['name = "a # b"', "name = 'a # b'", 'name = "a \\" # b"'])
def test_a_hash_within_quotes_begins_no_comment(line: str):
    assert comments(f"[line]\n{line}\n") == {}


def test_fields_that_differ_are_told_apart_from_those_that_do_not():
    differing, same = input_grids(check_text(TEXT), TEXT)
    by_field = {row[0]: row for row in differing.rows}
    assert by_field["bridge: usable length"][2:] == ("7 m", "none", "paced out in May")
    assert by_field["bridge: reams side by side"][4] == "two lines above it"
    assert "bridge: length a ream takes" not in by_field
    origins = {row[0]: row[3] for row in same.rows}
    assert origins["bridge: length a ream takes"] == "the scenario"
    assert origins["bridge: belt speed"] == "default of the program"


def test_every_field_is_told_once():
    every = inputs_of(check_text(TEXT), TEXT)
    assert len({each.field for each in every}) == len({each.label for each in every}) == len(every)
    differing, same = input_grids(check_text(TEXT), TEXT)
    assert len(differing.rows) + len(same.rows) == len(every)


def test_stop_causes_say_what_is_common_practice():
    scenario = check_text(TEXT)
    rows = {row[0]: row for row in stops_grid(scenario, TEXT).rows}
    assert rows["outfeed jam"][5] == COMMON_PRACTICE
    own = rows["wrapper jam"][5]
    assert own == f"the scenario (interval); the rest {COMMON_PRACTICE}; counted last year"
    assert rows["fork lift in the way"][2] == "weibull: mean 20 clock h, shape 2"
    assert rows["fork lift in the way"][5] == "the scenario; asked the foreman"
    usual = {stop.cause for stop in scenario.stop if is_common_practice(stop)}
    assert usual == {"outfeed jam"}


def test_values_are_written_as_people_write_them():
    assert value_text(Constant(mean=1500), "um") == "1,500 µm"
    assert value_text(Weibull(law="weibull", mean=4, shape=3), "h") == "weibull: mean 4 h, shape 3"
    assert value_text(4.0, "1/100 reels") == "4 per 100 reels"
    assert value_text(None, "mm") == "none"
    assert value_text("standstill_splice") == "standstill splice"
