"""Lines of tables, keys and list entries, however the file is written."""

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest
import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from linesim.scenario.faults import Path
from linesim.scenario.positions import MOST_NESTED, BeyondReasonError, line_of, positions

TEXT = '''\
# a comment with [brackets] and "quotes
title = "a # no comment, [no heading]"

[bridge]           # heading with a comment
places = 30
"belt speed" = 'x'

[unwind.change_min]
law = "lognormal"  # after a value
mean = 6

[[stop]]
cause = "one"
restore_min = { law = "constant", mean = 3 }
[[stop]]
note = """
[not a heading]
cause = "not a key"
ends with quotes"""""
cause = "two"
restore_min.law = "exponential"
restore_min.mean = 4
[stop.every_reams]
law = "empirical"
values = [
  1, # first
  2,
  3, 4,
]
[crew]
size = 0x1F
since = 1979-05-27 07:32:00
rest = [ { start_h = 1 },
         { start_h = 2 } ]
'''

EXPECTED: dict[Path, int] = {
    ("title",): 2,
    ("bridge",): 4,
    ("bridge", "places"): 5,
    ("bridge", "belt speed"): 6,
    ("unwind", "change_min"): 8,
    ("unwind", "change_min", "mean"): 10,
    ("stop", 0): 12,
    ("stop", 0, "restore_min", "mean"): 14,
    ("stop", 1): 15,
    ("stop", 1, "note"): 16,
    ("stop", 1, "cause"): 20,
    ("stop", 1, "restore_min", "mean"): 22,
    ("stop", 1, "every_reams"): 23,
    ("stop", 1, "every_reams", "values"): 25,
    ("stop", 1, "every_reams", "values", 0): 26,
    ("stop", 1, "every_reams", "values", 3): 28,
    ("crew", "size"): 31,
    ("crew", "since"): 32,
    ("crew", "rest", 1, "start_h"): 34,
}


def leaves(value: Any, path: Path = ()) -> Iterator[Path]:
    if path:
        yield path
    items: Any = ()
    if isinstance(value, dict):
        items = value.items()
    elif isinstance(value, list):
        items = enumerate(value)
    for key, inner in items:
        yield from leaves(inner, (*path, key))


@pytest.mark.parametrize("path", EXPECTED)
def test_lines(path: Path) -> None:
    assert positions(TEXT)[path] == EXPECTED[path]


def test_nothing_of_the_text_is_left_out_or_made_up() -> None:
    assert set(positions(TEXT)) == set(leaves(tomllib.loads(TEXT)))


VALUES = st.recursive(
    st.integers(-5, 5) | st.text(max_size=5) | st.booleans() | st.floats(-10, 10),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.text("ab.c\"' ]=#é", min_size=1, max_size=4), inner, max_size=3)
    ),
    max_leaves=8,
)


@given(st.dictionaries(st.text("abc\" .'[", min_size=1, max_size=4), VALUES, max_size=5))
def test_any_file_a_program_writes(data: dict[str, Any]) -> None:
    text = tomlkit.dumps(data)
    assert set(positions(text)) == set(leaves(tomllib.loads(text)))


@given(st.text("[]{}=\"'\\\n#.,ab1 ", max_size=60))
def test_no_text_brings_it_down(text: str) -> None:
    lines = positions(text)
    assert all(1 <= line <= text.count("\n") + 1 for line in lines.values())


def test_nesting_beyond_reason_names_the_line() -> None:
    with pytest.raises(BeyondReasonError) as raised:
        positions("a = 1\nb = " + "[" * 50)
    assert raised.value.line == 2


def test_lists_may_be_nested_as_deep_as_the_fault_says() -> None:
    deep = MOST_NESTED - 1
    assert len(positions("a = " + "[" * deep + "]" * deep)) == deep
    with pytest.raises(BeyondReasonError):
        positions("a = " + "[" * MOST_NESTED + "]" * MOST_NESTED)


def test_a_field_that_is_missing_is_looked_for_where_its_table_stands() -> None:
    lines = positions(TEXT)
    assert line_of(("stop", 1, "people"), lines) == 15
    assert line_of(("nowhere",), lines) is None
