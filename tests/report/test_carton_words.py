"""What the report says of reams behind the wrappers."""

import re

import pytest

from linesim.report.words import balance_sentence
from linesim.scenario import load, shipped_scenarios
from linesim.studies import replicate

LINE = load(shipped_scenarios()["full-pallets"])
IN_CARTONS = LINE.varied(
    palletiser=None, stop=[stop for stop in LINE.stop if stop.station != "palletiser"]
)


@pytest.mark.parametrize(
    ("line", "where"), [(LINE, r"on \d+ full pallets"), (IN_CARTONS, r"in [\d,]+ cartons")]
)
def test_reams_behind_the_wrappers_add_up_in_words(line, where) -> None:
    said = balance_sentence(replicate(line, hours=2, replications=1, seed=3))
    found = re.search(
        rf"Behind the wrappers: ([\d,]+) came \+ ([\d,]+) on the way before = ([\d,]+) {where}"
        r" \+ ([\d,]+) on the way\.$",
        said,
    )
    assert found, said
    came, before, delivered, after = (int(text.replace(",", "")) for text in found.groups())
    assert came + before == delivered + after
    assert came > 2000


def test_a_line_without_cartons_says_nothing_of_them() -> None:
    line = load(shipped_scenarios()["short-bridge"])
    assert "Behind" not in balance_sentence(replicate(line, hours=1, replications=1, seed=3))
