"""One carton packer may be given as a plain table; it is read as a list of one."""

from __future__ import annotations

import tomllib

import pytest

from linesim.scenario import ScenarioFaults, check_mapping, check_text, parse
from linesim.scenario.entry_order import move_entry
from linesim.scenario.writing import dump, update

ONE = """\
format = 1

# it is ours
[carton_packer] # rented
rate_cartons_per_min = 8 # measured
magazine_blanks = 300
[carton_packer.refill_min]
law = "lognormal"
mean = 2
sd = 1

[palletiser]
belt_cartons = 3
"""
SECOND = {"name": "B", "rate_cartons_per_min": 7}


def test_it_is_the_same_as_a_list_of_one() -> None:
    listed = check_text(ONE.replace("[carton_packer]", "[[carton_packer]]"))
    assert check_text(ONE) == listed
    assert [packer.magazine_blanks for packer in listed.carton_packer] == [300]
    assert list(listed.end_of_line) == ["carton_packer", "palletiser"]
    assert check_mapping(tomllib.loads(ONE)) == listed == check_text(dump(listed))


def test_its_values_and_lines_are_those_of_the_first_of_a_list() -> None:
    data, lines = parse(ONE, "mine.toml")
    assert data["carton_packer"][0]["rate_cartons_per_min"] == 8
    assert lines["carton_packer", 0, "rate_cartons_per_min"] == 5
    assert lines["carton_packer",] == 4


def test_a_fault_in_it_names_its_line() -> None:
    with pytest.raises(ScenarioFaults) as found:
        check_text(ONE.replace("= 300", "= 20\nrate = 3"), file="mine.toml")
    said = [(fault.line, fault.field) for fault in found.value.faults]
    assert (7, "carton_packer[0].rate") in said
    assert (6, "carton_packer[0].magazine_blanks") not in said
    assert any(field == "carton_packer[0].refill_at_blanks" for _, field in said)


def test_a_figure_of_it_is_changed_where_it_stands() -> None:
    changed = update(ONE, {"carton_packer[0].rate_cartons_per_min": 9})
    assert check_text(changed).carton_packer[0].rate_cartons_per_min == 9
    assert "# it is ours\n[carton_packer] # rented\nrate_cartons_per_min = 9 # meas" in changed


def test_with_another_it_becomes_a_list_and_keeps_its_comments() -> None:
    changed = update(ONE, {"carton_packer[0].name": "A", "carton_packer[1]": SECOND})
    assert "# it is ours\n[[carton_packer]] # rented\n" in changed
    names = [packer.name for packer in check_text(changed).carton_packer]
    assert names == ["A", "B"]
    swapped = check_text(move_entry(changed, "carton_packer", 1, 0)).carton_packer
    assert [packer.name for packer in swapped] == ["B", "A"]
    inline = "carton_packer = { name = 'A', rate_cartons_per_min = 8 }\n"
    both = check_text(update(inline, {"carton_packer[1]": SECOND})).carton_packer
    assert [packer.rate_cartons_per_min for packer in both] == [8, 7]


def test_it_can_be_taken_out() -> None:
    changed = update(ONE, {"carton_packer[0]": None, "palletiser": None})
    assert check_text(changed).carton_packer == ()


def test_a_copy_changes_fields_of_the_only_one() -> None:
    line = check_text(ONE)
    faster = line.varied(carton_packer={"rate_cartons_per_min": 9}).carton_packer
    assert [(p.rate_cartons_per_min, p.magazine_blanks) for p in faster] == [(9, 300)]
    both = line.varied(carton_packer=[{"name": "A"}, SECOND])
    assert both.end_places["carton_packer"] == ("A", "B")
    assert both.stations_called("carton_packer") == ("A", "B")
    assert both.stations_called("B") == ("B",)
