"""Broken files of all kinds: every fault is named with its line and field, all at once."""

from pathlib import Path

import pytest

from linesim.scenario import ScenarioFaults, check_text, load

# What is broken -> the file, and for each fault its line, its field, and words that must be in
# what is said about it.
BROKEN: dict[str, tuple[str, list[tuple[int | None, str, str]]]] = {
    "no closing quote": ('[line]\nname = "x\n', [(2, "", "TOML")]),
    "no value": ("[bridge]\nplaces =\n", [(2, "", "TOML")]),
    "no equals sign": ("[bridge]\nplaces 20\n", [(2, "", "TOML")]),
    "heading left open": ("[bridge\nplaces = 20\n", [(1, "", "TOML")]),
    "decimal comma": ("[bridge]\nlength_m = 6,5\n", [(2, "", "TOML")]),
    "field twice": ("[bridge]\nplaces = 20\nplaces = 30\n", [(3, "", "TOML")]),
    "table twice": ("[bridge]\n[cutter]\n[bridge]\n", [(3, "", "TOML")]),
    "ends within a list": ("[unwind]\nwebs = [5,\n", [(2, "", "TOML")]),
    "number of 5000 digits": ("\n[bridge]\nplaces = " + "9" * 5000, [(3, "", "digits")]),
    "nested too deep": ("a = " + "[" * 5000 + "]" * 5000, [(1, "", "nested")]),
    "unknown table": ("[brige]\nplaces = 20\n", [(1, "brige", "bridge")]),
    "table as a list": ("[[bridge]]\nplaces = 20\n", [(1, "bridge", "a table of fields")]),
    "list as a table": ('[wrapper]\nname = "w"\n', [(1, "wrapper", "double brackets")]),
    "unknown field": (
        "\n[bridge]\nplaces = 20\nbelt_sped_m_per_min = 30\n",
        [(4, "bridge.belt_sped_m_per_min", "belt_speed_m_per_min")],
    ),
    "field of another table": (
        "[bridge]\nrate_reams_per_min = 30\n",
        [(2, "bridge.rate_reams_per_min", "move it to [wrapper]")],
    ),
    "field with another unit": (
        "[cutter]\nweb_speed_ft_per_min = 800\n",
        [(2, "cutter.web_speed_ft_per_min", "web_speed_m_per_min")],
    ),
    "word for a date": (
        '[calendar]\nstarts = "monday"\n',
        [(2, "calendar.starts", 'such as "2026-03-05 14:00"')],
    ),
    "number beyond those of a list": (
        "[cutter]\nhand_ramp_fractions = [0.5, 1.2]\nhand_ramp_min = [1, 2]\n",
        [(2, "cutter.hand_ramp_fractions[1]", "a list of numbers from 0.01 to 1,")],
    ),
    "text for a number": ('[bridge]\nplaces = "20"\n', [(2, "bridge.places", "a whole number")]),
    "decimals for a whole number": (
        "[slitter]\nlanes = 4.5\n",
        [(2, "slitter.lanes", "a whole number from 1 to 20")],
    ),
    "yes for a number": ("[gate]\ncuts_after_stop = true\n", [(2, "gate.cuts_after_stop", "")]),
    "number for yes or no": ("[line]\ninvented = 1\n", [(2, "line.invented", "true or false")]),
    "number for a name": ("[line]\nname = 5\n", [(2, "line.name", "text in quotes")]),
    "date for a number": ("[bridge]\nplaces = 2024-05-01\n", [(2, "bridge.places", "a date")]),
    "too large": (
        "[web_path]\nclamp_holds_chance = 70\n",
        [(2, "web_path.clamp_holds_chance", "from 0 to 1")],
    ),
    "below zero": (
        "[cutter]\nweb_speed_m_per_min = -250\n",
        [(2, "cutter.web_speed_m_per_min", "m/min")],
    ),
    "not finite": ("[bridge]\nlength_m = inf\n", [(2, "bridge.length_m", "finite")]),
    "not a number": ("[bridge]\nlength_m = nan\n", [(2, "bridge.length_m", "")]),
    "not one of the choices": (
        '[unwind]\nchange = "flying_splise"\n',
        [(2, "unwind.change", '"flying_splice"')],
    ),
    "three stands": ("[unwind]\nstands_per_web = 3\n", [(2, "unwind.stands_per_web", "1, 2")]),
    "unknown law": (
        '[unwind]\nprepare_min = { law = "log-normal", mean = 9, sd = 3 }\n',
        [(2, "unwind.prepare_min", '"lognormal"')],
    ),
    "law not named": (
        "[unwind]\nprepare_min = { mean = 9, sd = 3 }\n",
        [(2, "unwind.prepare_min", "lognormal")],
    ),
    "law as text": ('[unwind]\nprepare_min = "9 min"\n', [(2, "unwind.prepare_min", "a law")]),
    "law without its spread": (
        '[unwind]\nprepare_min = { law = "lognormal", mean = 9 }\n',
        [(2, "unwind.prepare_min.sd", "is missing")],
    ),
    "law with the spread of another": (
        '[unwind.prepare_min]\nlaw = "exponential"\nmean = 9\nsd = 3\n',
        [(4, "unwind.prepare_min.sd", "not a field")],
    ),
    "law that does not fit together": (
        '[unwind]\nprepare_min = { law = "triangular", low = 5, mode = 4, high = 9 }\n',
        [(2, "unwind.prepare_min", "low <= mode <= high")],
    ),
    "one bad value of a log": (
        '[unwind]\nprepare_min = { law = "empirical", values = [\n  5,\n  -6,\n  7,\n] }\n',
        [(4, "unwind.prepare_min.values[1]", "0")],
    ),
    "negative bare number for a law": (
        "[transfer]\npick_s = -1\n",
        [(2, "transfer.pick_s", "number")],
    ),
    "newer format": ("format = 2\n", [(1, "format", "1")]),
    "order without reams": (
        '[[order]]\nname = "one"\nreams = 5\n\n[[order]]\nname = "two"\n',
        [(5, "order[1].reams", "is missing")],
    ),
    "unknown cause": (
        '[[stop]]\ncause = "wraper jam"\nevery_reams = 3000\n',
        [(1, "stop[0].station", '"wrapper jam"'), (1, "stop[0].restore_min", "missing")],
    ),
    "stop without a meter": (
        '[[stop]]\ncause = "x"\nstation = "cutter"\nrestore_min = 3\n',
        [(1, "stop[0]", "every_running_h")],
    ),
    "stop with two meters": (
        '[[stop]]\ncause = "wrapper jam"\nevery_reams = 1000\nevery_running_h = 5\n',
        [(1, "stop[0]", "several meters")],
    ),
    "faults and contradictions together": (
        "[bridge]\nplaces = 30\nstop_at_reams = 20\nrestart_at_reams = 20\ntracks = 0\n"
        "[product]\nsheets_per_ream = 500\n[unwind]\nwebs = 6\nbutt_length_m = -1\n",
        [
            (4, "bridge.restart_at_reams", "0 to 19"),
            (5, "bridge.tracks", "from 1 to 10"),
            (9, "unwind.webs", "1, 2, 4, 5, 10, 20"),
            (10, "unwind.butt_length_m", "too small"),
        ],
    ),
    "a fault hides what only follows from it": (
        "[bridge]\nplaces = 30\nstop_at_reams = 0\nrestart_at_reams = 40\n",
        [(3, "bridge.stop_at_reams", "too small")],
    ),
    "the later entries of a list keep their numbers": (
        '[[stop]]\ncause = 5\n[[stop]]\ncause = "static"\nstation = "cuter"\n',
        [
            (2, "stop[0].cause", "text"),
            (1, "stop[0].station", "missing"),
            (1, "stop[0].restore_min", "missing"),
            (1, "stop[0]", "how often"),
            (5, "stop[1].station", '"cutter"'),
        ],
    ),
    "dotted names and inline tables": (
        "bridge.places = 30\nbridge.stop_at_reams = 31\ncrew = { size = -1 }\n",
        [(2, "bridge.stop_at_reams", "1 to 30"), (3, "crew.size", "too small")],
    ),
}

JARGON = (
    "pydantic",
    "validation",
    "Constant",
    "tagged",
    "union",
    "Table",
    "NoneType",
    "dict",
    "{}",
)


@pytest.mark.parametrize("name", BROKEN)
def test_every_fault_is_named_with_its_line_and_field(name: str, tmp_path: Path) -> None:
    text, expected = BROKEN[name]
    file = tmp_path / "broken.toml"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(ScenarioFaults) as raised:
        load(file)
    faults = raised.value.faults
    found = sorted((f.line or 0, f.field) for f in faults)
    assert found == sorted((line or 0, field) for line, field, _ in expected)
    for _, field, words in expected:
        said = next(str(f) for f in faults if f.field == field)
        assert words in said
        assert said.startswith(str(file))
    for fault in faults:
        assert fault.problem
        assert fault.would_be_right
        said = f"{fault.field} {fault.problem} {fault.would_be_right}"
        assert not [word for word in JARGON if word in said]


def test_there_are_broken_files_of_all_kinds() -> None:
    assert len(BROKEN) >= 30


def test_the_whole_list_reads_as_text() -> None:
    with pytest.raises(ScenarioFaults) as raised:
        check_text("[bridge]\nplaces = 30\nstop_at_reams = 31\nlenght_m = 3\n", file="line.toml")
    assert str(raised.value).splitlines() == [
        "2 faults",
        "line.toml:3: bridge.stop_at_reams = 31: the level is above the 30 places of the bridge:"
        " it is never reached; right would be: 1 to 30 reams, or a longer bridge",
        "line.toml:4: bridge.lenght_m = 3: is not a field here; right would be: length_m",
    ]


@pytest.mark.parametrize(
    "text",
    [
        '[[wrapper]]\nrate_reams_per_min = "x"\n',
        "wrapper = [3]\n",
        '[[wrapper]]\nnme = "a"\n',
        '[[stop]]\ncause = "static"\nrestore_min = { law = "empirical", values = [-1] }\n',
    ],
)
def test_a_faulty_entry_is_one_fault_and_the_list_is_none(text: str) -> None:
    """The checker leaves faulty entries uncounted and would call the list too short besides."""
    with pytest.raises(ScenarioFaults) as raised:
        check_text(text)
    assert len(raised.value.faults) == 1
    assert "[0]" in raised.value.faults[0].field


EMPTY_LAW = '[[stop]]\ncause = "static"\nrestore_min = { law = "empirical", values = [] }\n'


@pytest.mark.parametrize("text", ["wrapper = []\n", EMPTY_LAW])
def test_a_list_without_entries_is_too_short(text: str) -> None:
    with pytest.raises(ScenarioFaults) as raised:
        check_text(text)
    (fault,) = raised.value.faults
    assert (fault.problem, fault.would_be_right) == ("has too few entries", "at least 1")


def test_a_contradiction_shows_what_the_file_holds_laws_too() -> None:
    with pytest.raises(ScenarioFaults) as raised:
        check_text('[[stop]]\ncause = "jam"\nstation = "bridge"\nevery_cuts = 9\nrestore_min = 1\n')
    (fault,) = raised.value.faults
    assert (fault.field, fault.value) == ("stop[0].every_cuts", "9")
