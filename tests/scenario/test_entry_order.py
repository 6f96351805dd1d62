"""An entry moves with everything that is written of it."""

import tomllib

import pytest

from linesim.scenario import check_text, load, move_entry, shipped_scenarios

TEXT = """\
# The story of the sequence.

[[order]]
name = "a"  # first
reams = 1
# about b
[[order]]
name = "b"   # second
reams = 2

[[order]]
name = "c"
reams = 3

# money now
[money]
discount_rate = 0.1
"""


def test_what_is_written_of_an_entry_goes_with_it() -> None:
    assert move_entry(TEXT, "order", 1, 0) == TEXT.replace(
        """\
[[order]]
name = "a"  # first
reams = 1
# about b
[[order]]
name = "b"   # second
reams = 2
""",
        """\
# about b
[[order]]
name = "b"   # second
reams = 2
[[order]]
name = "a"  # first
reams = 1
""",
    )


def test_to_the_end_and_back_is_where_it_was() -> None:
    there = move_entry(TEXT, "order", 0, 2)
    assert [order["name"] for order in tomllib.loads(there)["order"]] == ["b", "c", "a"]
    assert there.index("# first") < there.index("# money now")
    assert sorted(there.split("\n")) == sorted(TEXT.split("\n"))
    assert move_entry(there, "order", 2, 0) == TEXT


def test_a_list_written_in_one_line() -> None:
    text = 'order = [{ name = "a", reams = 1 }, { name = "b", reams = 2 }]\n'
    assert [order.name for order in check_text(move_entry(text, "order", 0, 1)).order] == ["b", "a"]


@pytest.mark.parametrize("demo", list(shipped_scenarios()))
def test_stop_causes_of_the_demos_move_and_come_back(demo: str) -> None:
    text = shipped_scenarios()[demo].read_text(encoding="utf-8")
    before = [stop.cause for stop in load(shipped_scenarios()[demo]).stop]
    there = move_entry(text, "stop", 0, len(before) - 1)
    assert [stop.cause for stop in check_text(there).stop] == [*before[1:], before[0]]
    assert move_entry(there, "stop", len(before) - 1, 0) == text


@pytest.mark.parametrize(("table", "index", "to"), [("order", 0, 3), ("order", -1, 0), ("x", 0, 0)])
def test_a_place_that_is_not_there(table: str, index: int, to: int) -> None:
    with pytest.raises(KeyError):
        move_entry(TEXT, table, index, to)
