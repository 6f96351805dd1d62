"""What is packed is read again as it was, by another reader, and by the page's own script."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import linesim.report.page
from linesim.report.shared.packing import Texts, packed_changes, packed_column, packed_numbers
from tests.report.shared.reading import DIGITS, column, numbers

SCRIPT = Path(linesim.report.page.__file__).parent / "template" / "unpack.js"
LARGE = 10**12
WORD = st.text(st.characters(codec="utf-8") | st.just(" "), max_size=6)


@settings(max_examples=30)
@given(st.lists(st.integers(0, LARGE), max_size=20))
def test_numbers_come_back(given_numbers: list[int]) -> None:
    assert numbers(packed_numbers(given_numbers)) == given_numbers


@settings(max_examples=40)
@given(st.lists(st.integers(-LARGE, LARGE) | st.integers(-2, 2), max_size=30))
def test_columns_come_back_with_all_their_repeats(values: list[int]) -> None:
    assert column(packed_column(values)) == values


def test_what_goes_on_evenly_is_short_and_what_hardly_changes_is_a_letter_each() -> None:
    # One step of 1,000, 43,199 times more: 4,001 and 43,199 in three and four digits.
    assert len(packed_column(range(1000, 43_201_000, 1000))) == 7
    assert len(packed_column([7, 6, 7, 5, 7, 4])) == 6


@settings(max_examples=30)
@given(st.lists(WORD, max_size=6))
def test_texts_come_back_whatever_is_in_them(given_texts: list[str]) -> None:
    texts = Texts()
    places = [texts.number(text) for text in given_texts]
    packed = texts.packed()
    words, rows = packed["words"].split(" "), iter(numbers(packed["rows"]))
    read = [" ".join(words[next(rows)] for _ in range(count)) for count in rows]
    assert [read[place] for place in places] == given_texts
    assert len(set(read)) == len(read)


@pytest.mark.skipif(shutil.which("node") is None, reason="no node on this machine")
def test_the_script_of_the_page_reads_the_same() -> None:
    values = [0, -1, -1, 5, 10, 15, 604_800_000, 604_801_000, 604_802_000, -(2**40), 31, 32]
    texts = Texts()
    said = ["a  b", "", "1 min 24 s", "<b>&amp;", " ř \u2028 \n", "constructor __proto__"]
    for text in said:
        texts.number(text)
    groups = [[(1, 2), (3, 400)], [], [(0, 0)]]
    flat = [n for group in groups for n in (len(group), *(m for pair in group for m in pair))]
    changes = [(0, 4), (20, 2), (33, 700), (40, 0)]
    lane = packed_changes(*zip(*changes, strict=True), [0, 10, 20, 30, 40, 50])
    asked = {"column": packed_column(values), "texts": texts.packed(), "g": packed_numbers(flat)}
    ask = f"""
    const asked = {json.dumps(asked)};
    console.log(JSON.stringify([columnOf(asked.column), textsOf(asked.texts),
      groupsOf(asked.g, 2), [0, 4, 5, 99].map((each) => lastAt([5, 7, 9], each)),
      clockOf(3725999), stretchesOf("{lane}", [0, 10, 20, 30, 40, 50]),
      statesOf([[0, 4], [20, 2], [33, 7], [40, 0]], [0, 10, 20, 30, 40, 50]), DIGITS]));
    """
    done = subprocess.run(
        ["node", "-e", SCRIPT.read_text("utf-8") + ask], capture_output=True, check=True, timeout=60
    )
    read = json.loads(done.stdout)
    assert read == [
        values,
        said,
        [[list(pair) for pair in group] for group in groups],
        [0, 0, 0, 2],
        "1:02:05",
        [list(change) for change in changes],
        [4, 4, 2, 2, 0, 0],
        DIGITS,
    ]
