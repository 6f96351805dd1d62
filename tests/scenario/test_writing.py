"""Writing a scenario back: comments stay, values change, and it can be read again."""

import difflib
import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from linesim.scenario import (
    KNOWN_CAUSES,
    Scenario,
    ScenarioFaults,
    check_text,
    dump,
    load,
    shipped_scenarios,
    update,
)
from linesim.scenario.end_of_line import END_OF_LINE

TEXT = """\
# The story of the line.

[bridge]             # where it hurts
places = 21          # too few
stop_at_reams = 16

# The wrapper, bought second hand.
[[wrapper]]
name = "old one"     # from the other hall
roll_change_min = { law = "lognormal", mean = 4, sd = 1 }  # timed by hand

[[stop]]
cause = "static"
[[stop]]
cause = "wrapper jam"  # see the log
every_reams = { law = "exponential", mean = 900 }

# last word
"""


def changed(text: str, changes: dict[str, Any]) -> list[str]:
    """Lines taken out and put in, without what stayed."""
    rows = difflib.ndiff(text.splitlines(), update(text, changes).splitlines())
    return [row for row in rows if row[0] in "+-"]


def test_a_value_changes_and_its_comment_stays() -> None:
    assert changed(TEXT, {"bridge.places": 60}) == [
        "- places = 21          # too few",
        "+ places = 60          # too few",
    ]


def test_no_change_changes_nothing() -> None:
    assert update(TEXT, {}) == TEXT
    assert update(TEXT, {"bridge.places": 21}) == TEXT


def test_a_law_changes_within_its_line() -> None:
    assert changed(TEXT, {"wrapper[0].roll_change_min.mean": 5.5}) == [
        '- roll_change_min = { law = "lognormal", mean = 4, sd = 1 }  # timed by hand',
        '+ roll_change_min = { law = "lognormal", mean = 5.5, sd = 1 }  # timed by hand',
    ]


def test_a_number_in_the_place_of_a_law() -> None:
    assert changed(TEXT, {"wrapper[0].roll_change_min": 3.0}) == [
        '- roll_change_min = { law = "lognormal", mean = 4, sd = 1 }  # timed by hand',
        "+ roll_change_min = 3  # timed by hand",
    ]


def test_a_field_that_was_not_there() -> None:
    assert changed(TEXT, {"stop[1].people": 2}) == ["+ people = 2"]
    assert check_text(update(TEXT, {"stop[1].people": 2})).stop[1].people == 2


def test_tables_and_entries_that_were_not_there() -> None:
    new = update(
        TEXT,
        {
            "stop[2]": {
                "cause": "power",
                "station": "cutter",
                "every_clock_h": 90.0,
                "restore_min": {"law": "uniform", "low": 1.0, "high": 2.5},
            },
            "wrapper[1].name": "new one",
            "outfeed.buffer_reams": 7,
            "break": [{"start_h": 4.0, "minutes": 30}],
        },
    )
    scenario = check_text(new)
    assert [stop.cause for stop in scenario.stop] == ["static", "wrapper jam", "power"]
    assert [wrapper.name for wrapper in scenario.wrapper] == ["old one", "new one"]
    assert scenario.outfeed is not None
    assert scenario.outfeed.buffer_reams == 7
    assert scenario.rest[0].minutes == 30
    rows = new.splitlines()
    assert [row for row in TEXT.splitlines() if row not in rows] == []
    for heading in ("[[break]]", "[outfeed]"):
        assert rows[rows.index(heading) - 1] == ""


def test_taking_out_a_field_an_entry_and_a_table() -> None:
    new = update(TEXT, {"bridge.stop_at_reams": None, "stop[0]": None, "wrapper": None})
    assert tomllib.loads(new) == {
        "bridge": {"places": 21},
        "stop": [{"cause": "wrapper jam", "every_reams": {"law": "exponential", "mean": 900}}],
    }
    assert "# too few" in new
    assert "# see the log" in new


def test_a_table_given_whole_keeps_the_comments_of_what_stays() -> None:
    new = update(TEXT, {"bridge": {"places": 30, "tracks": 2}})
    assert "places = 30          # too few" in new
    assert tomllib.loads(new)["bridge"] == {"places": 30, "tracks": 2}


def test_line_ends_of_other_systems_stay() -> None:
    text = TEXT.replace("\n", "\r\n")
    new = update(text, {"bridge.places": 60})
    assert new == text.replace("places = 21", "places = 60")


@pytest.mark.parametrize(
    "name",
    [
        "",
        ".",
        "bridge..places",
        "stop[9].people",
        "stop[3]",
        "bridge.places.x",
        "[0]",
        "stop.people",
        "wrapper[5]",
        "bridge[0]",
        "new[1].x",
    ],
)
def test_a_name_that_leads_nowhere(name: str) -> None:
    with pytest.raises(KeyError):
        update(TEXT, {name: 1})


def test_an_entry_of_a_list_of_tables_is_no_number() -> None:
    with pytest.raises(KeyError, match="is a table"):
        update(TEXT, {"stop[0]": 3})


def test_a_text_that_is_no_toml() -> None:
    with pytest.raises(ScenarioFaults):
        update("[bridge\n", {"bridge.places": 1})


@given(
    st.dictionaries(
        st.sampled_from(
            [
                "bridge.places",
                "bridge.tracks",
                "crew.size",
                "unwind.webs",
                "stop[0].people",
                "stop[1].people",
                "wrapper[0].rate_reams_per_min",
                "line.note",
            ]
        ),
        st.integers(1, 50) | st.floats(0.5, 90) | st.text(max_size=20),
    )
)
def test_what_was_asked_for_is_what_stands_there(changes: dict[str, Any]) -> None:
    new = tomllib.loads(update(TEXT, changes))
    expected = tomllib.loads(TEXT)
    for name, value in changes.items():
        table, field = name.split(".")
        if "[" in table:
            expected[table[:-3]][int(table[-2])][field] = value
        else:
            expected.setdefault(table, {})[field] = value
    assert new == expected


@pytest.mark.parametrize("name", shipped_scenarios())
def test_a_dump_reads_as_the_same_scenario(name: str) -> None:
    scenario = load(shipped_scenarios()[name])
    assert check_text(dump(scenario)) == scenario


def test_the_dump_of_the_default_line_shows_and_explains_every_table() -> None:
    text = dump(Scenario())
    assert check_text(text) == Scenario()
    assert "stand_limit_kg = 2500 # heaviest reel a stand takes [kg; usual: 1500 to 3000]" in text
    assert "# places: not given - reams that fit; or give length_m," in text
    assert {"[bridge]", "[[wrapper]]", "[money]"} <= {
        row.split(" #")[0] for row in text.splitlines()
    }


@pytest.mark.parametrize("cause", KNOWN_CAUSES)
def test_a_default_said_against_a_known_cause_stays_said(cause: str) -> None:
    first = {"cause": "first", "station": "cutter", "every_cuts": 9, "restore_min": 1}
    plain = {"cause": cause, "people": 1, "spoils_cuts": 0, "planned": False, "per_web": False}
    scenario = Scenario.model_validate(
        {"stop": [first, plain], **{name: {} for name in END_OF_LINE}}
    )
    assert check_text(dump(scenario)) == scenario
