"""State files: every fault at once, and what they say comes back as it was."""

from __future__ import annotations

import datetime as dt

import pytest

from linesim.scenario import (
    ScenarioFaults,
    check_mapping,
    check_state_text,
    dump_state,
    find_scenario,
    load,
    shipped_scenarios,
    state_schema,
    state_to_fill_in,
)
from linesim.scenario.state_tables import calendar_ns, down_ns

LINE = load(find_scenario("short-bridge"))
PALLETS = load(find_scenario("full-pallets"))
ORDERS = load(find_scenario("orders"))
TWO = load(find_scenario("two-wrappers"))
MOMENT = 'moment = "2026-03-02 14:20"\n'


def faults(text, line=LINE):
    with pytest.raises(ScenarioFaults) as caught:
        check_state_text(text, line, file="now.toml")
    return [
        (fault.line, fault.field, fault.problem, fault.would_be_right)
        for fault in caught.value.faults
    ]


def test_all_faults_at_once_with_their_lines() -> None:
    text = MOMENT + (
        "reams_made = -1\n"
        "[bridge]\nreams = 100000\n"
        "[[reel]]\nweb = 9\nleft_m = 1e5\n"
        '[[down]]\ncause = "wraper jam"\n'
        "[[wear]]\nused = 1\n"
        "[people]\nawy = 3\n"
    )
    found = faults(text)
    assert [(line, field) for line, field, _, _ in found] == [
        (2, "reams_made"),
        (4, "bridge.reams"),
        (6, "reel[0].web"),
        (7, "reel[0].left_m"),
        (9, "down[0].cause"),
        (10, "wear[0].cause"),
        (13, "people.awy"),
    ]
    assert found[4][3].startswith("wrapper jam; or one of")


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ('moment = "yesterday"', "cannot be read"),
        (MOMENT + "[bridge]\nlength_m = 6", "is not a field here"),
        ('moment = "2026-02-30 14:20"', "there is no such day or time"),
        ("", "is missing"),
        ("moment = 2026-03-02T14:20:00", "is a date or time"),
        (MOMENT + "[[reel]]\nweb = 1\nleft_m = 5\ndiameter_mm = 900", "left_m says how much"),
        (MOMENT + "[[reel]]\nweb = 1\ndiameter_mm = 20", "no diameter between the core"),
        (MOMENT + "[[reel]]\nweb = 1\n[[reel]]\nweb = 1", "the web is told of twice"),
        (MOMENT + '[[roll]]\nwrapper = "w"\nreams_left = 1', "is no wrapper of this line"),
        (MOMENT + "[[roll]]\nreams_left = 9000000", "a full roll wraps"),
        (MOMENT + "[[down]]\nweb = 1", "it does not say what stands"),
        (MOMENT + '[[down]]\nstation = "cutter"', "nothing says how long it still takes"),
        (MOMENT + '[[down]]\nstation = "palletiser"\nremaining_min = 1', "is no station of this"),
        (MOMENT + '[[down]]\ncause = "splice"', "it does not say of which web"),
        (MOMENT + '[[down]]\ncause = "wrapper jam"\nsince = "25:10"', "no such day or time"),
        (MOMENT + '[[down]]\ncause = "wrapper jam"\nsince = "2026-03-03 01:00"', "is after the"),
        (MOMENT + '[[down]]\ncause = "wrapper jam"\nstation = "cutter"', "has no such cause"),
        (MOMENT + '[[down]]\ncause = "static"\nstation = "cutter"', "has no such cause"),
        (MOMENT + '[[wear]]\ncause = "static"\nweb = 2\nused = 1', "one cause of all webs"),
        (MOMENT + '[order]\nname = "a"', "the scenario has no orders"),
        (MOMENT + "[behind]\nblanks = 3", "has no such thing"),
        (MOMENT + "[people]\naway = 50", "the crew is of"),
        (MOMENT + "a = 1", "is not a table of a state file"),
        ("moment = ", "cannot be read as TOML"),
    ],
)
def test_each_fault(text: str, problem: str) -> None:
    assert problem in faults(text)[0][2]


def test_what_would_be_right_is_right() -> None:
    """A form is shown, advice is of state files, and one wrong value is one fault."""
    assert 'such as "2026-03-02 14:20"' in faults('moment = "yesterday"')[0][3]
    assert 'such as "14:05"' in faults(MOMENT + '[[down]]\ncause = "static"\nsince = "noon"')[0][3]
    assert faults(MOMENT + "[bridge]\nlength_m = 6")[0][3] == "one of reams"
    text = MOMENT + '[[wear]]\ncause = "static"\nused = -1'
    assert [found[2] for found in faults(text)] == ["is too small"]
    down = MOMENT + '[[down]]\nstation = "carton paker"\nremaining_min = 1'
    assert faults(down, PALLETS)[0][3].startswith("carton_packer; or one of")


def test_faults_of_other_lines() -> None:
    assert (
        "cartons may wait"
        in faults(MOMENT + "[behind]\ncartons_at_palletiser = 90000", PALLETS)[0][2]
    )
    assert (
        "blanks are in a full magazine"
        in faults(MOMENT + "[behind]\nblanks = 90000", PALLETS)[0][2]
    )
    assert "is no order" in faults('moment = "2026-03-02 14:20"\n[order]\nname = "x"', ORDERS)[0][2]
    first = ORDERS.order[0]
    done = f'{MOMENT}[order]\nname = "{first.name}"\nreams_made = {first.reams}'
    assert "so it is done" in faults(done, ORDERS)[0][2]
    assert "before the scenario's calendar" in faults('moment = "1999-01-01 00:00"', ORDERS)[0][2]
    assert "says when shifts begin" in faults(MOMENT + "into_shift_h = 2", ORDERS)[0][2]
    jam = MOMENT + '[[down]]\ncause = "wrapper jam"'
    assert "does not say which of them" in faults(jam, TWO)[0][2]


def test_planned_age_and_law_bound_what_is_used() -> None:
    knife = {"cause": "k", "station": "cutter", "every_cuts": 10, "restore_min": 1}
    line = check_mapping({"stop": [knife]})
    text = MOMENT + '[[wear]]\ncause = "k"\nused = 11'
    assert "never runs so long" in faults(text, line)[0][2]
    law = {"law": "weibull", "mean": 10, "shape": 2}
    planned = {**knife, "every_cuts": law, "changed_every": 8, "change_min": 1}
    line = check_mapping({"stop": [planned]})
    assert "changed by plan every 8" in faults(text, line)[0][2]


@pytest.mark.parametrize("demo", shipped_scenarios())
def test_what_is_to_be_filled_in_can_be_read(demo: str) -> None:
    line = load(find_scenario(demo))
    text = state_to_fill_in(line, "2026-03-02 14:20")
    assert check_state_text(text, line).moment == "2026-03-02 14:20"
    # Every line to fill in is one without its mark.
    rows = [row.removeprefix("# ") for row in text.splitlines()]
    assert any(row.startswith("[[down]]") for row in rows)
    assert sum(row.startswith("left_m =") for row in rows) == line.unwind.webs


def test_a_state_comes_back_as_it_was() -> None:
    text = MOMENT + (
        "[bridge]\nreams = 12\n[[reel]]\nweb = 2\nleft_m = 100.5\npartner_ready = false\n"
        '[[down]]\ncause = "wrapper jam"\nsince = "14:05"\n'
        'remaining_min = { law = "uniform", low = 2, high = 5 }\n'
        '[[wear]]\ncause = "cutter knives"\nused = 5000\n'
    )
    state = check_state_text(text, LINE)
    assert check_state_text(dump_state(state), LINE) == state


def test_a_clock_time_is_the_last_of_that_reading() -> None:
    down = '[[down]]\ncause = "wrapper jam"\nsince = "{}"\n'
    for since, minutes in (("14:05", 15), ("14:19:30", 0.5), ("23:50", 870)):
        state = check_state_text(MOMENT + down.format(since), LINE)
        assert down_ns(state, state.down[0]) == minutes * 60e9


def test_the_moment_by_the_calendar() -> None:
    state = check_state_text('moment = "2026-03-02 14:20"\n', LINE)
    assert calendar_ns(state, dt.datetime(2026, 3, 1, 6)) == (32 * 60 + 20) * 60_000_000_000
    assert calendar_ns(state, None) == 0


def test_the_schema_has_every_field_with_its_help() -> None:
    schema = state_schema()
    assert schema["required"] == ["moment"]
    reel = schema["$defs"]["ReelNow"]
    assert reel["required"] == ["web"]
    assert reel["properties"]["left_m"]["description"] == "paper left on the reel [m]"
    assert reel["properties"]["left_m"]["minimum"] == 0
    assert schema["$defs"]["DownNow"]["properties"]["remaining_min"] == {
        "$ref": "#/$defs/Law",
        "description": "time it still takes, where the people at it can say; takes the place of"
        " what is drawn [min; usual: 1 to 120]",
        "unit": "min",
        "typical": [1, 120],
    }
