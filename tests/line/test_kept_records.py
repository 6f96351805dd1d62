"""Records are as they were kept; tests/trust/kept_records.py looks at all of them."""

from __future__ import annotations

import dataclasses
from typing import Any

import numpy as np
import pytest

from linesim.fast import Engine, kept_engine, simulate
from linesim.record import Record, State
from tests.line import kept
from tests.line.kept_cases import (
    Case,
    case_of,
    names_of_demos,
    names_of_lines,
    names_of_parts,
)
from tests.line.parts import PARTS

LINES = names_of_lines(0, 16)
SLOWLY = ("orders/0/history", "small-crew/0/sums")
"""Demos that are run by Python here, too."""


def record_of(case: Case, engine: Engine) -> Record:
    return simulate(case.scenario, engine=engine, **case.asked)


@pytest.mark.parametrize("name", [*SLOWLY, *LINES, *(f"{part}/0" for part in PARTS)])
def test_records_are_as_they_were_kept(name: str) -> None:
    case = case_of(name)
    found = kept.digests(case, record_of(case, "interpreted"))
    assert kept.differing(found, kept.read()[name]) == []


@pytest.mark.parametrize("name", [n for n in names_of_demos() if "/0/" in n or "lesson" in n])
def test_so_are_those_of_machine_code(name: str) -> None:
    kept_engine.make()
    case = case_of(name)
    assert kept.differing(kept.digests(case, record_of(case, "compiled")), kept.read()[name]) == []


def test_every_case_is_kept() -> None:
    assert list(kept.read()) == [*names_of_demos(), *names_of_parts(), *names_of_lines()]


def test_an_unknown_case_is_refused_with_what_would_be_right() -> None:
    with pytest.raises(ValueError, match="line/17"):
        case_of("line 17")


@pytest.fixture(scope="module")
def ran() -> tuple[Case, Record]:
    case = case_of("line/2")
    return case, record_of(case, "interpreted")


def test_every_field_of_a_record_has_a_group_of_its_own(ran: tuple[Case, Record]) -> None:
    assert "rest" not in kept.texts(*ran)


@pytest.mark.parametrize(
    ("group", "changed"),
    [
        ("accounts", {"causes": ("other",)}),
        ("counts", {"taken_out": (10**9,)}),
        ("times", {"begun_ns": 7}),
        ("buckets", {"good_per_bucket": (1, 2)}),
    ],
)
def test_a_changed_figure_changes_its_group_alone(
    ran: tuple[Case, Record], group: str, changed: dict[str, Any]
) -> None:
    case, record = ran
    before = kept.digests(case, record)
    found = kept.digests(case, dataclasses.replace(record, **changed))
    assert kept.differing(found, before) == [group]


def test_each_column_of_the_history_is_in_its_groups_digest(ran: tuple[Case, Record]) -> None:
    case, record = ran
    before = kept.digests(case, record)
    history = record.history
    assert history is not None
    groups = {"set": "sets", "ream": "reams", "speed": "motion", "reel": "reels", "lost": "lost"}
    for part, start in ((history, None), (history.spans, "spans")):
        for name in [field.name for field in dataclasses.fields(part)]:
            column = getattr(part, name)
            if not isinstance(column, np.ndarray):
                continue
            longer = dataclasses.replace(part, **{name: _one_moved(column)})
            other = longer if start is None else dataclasses.replace(history, spans=longer)
            found = kept.digests(case, dataclasses.replace(record, history=other))
            assert kept.differing(found, before) == [start or groups[name.partition("_")[0]]], name


def _one_moved(column: Any) -> Any:
    """A column with another last figure; one figure where it was empty."""
    if not len(column):
        return np.ones(1, column.dtype)
    return np.append(column[:-1], np.array([column[-1] + 1], column.dtype))


def test_how_numbers_are_held_does_not_matter(ran: tuple[Case, Record]) -> None:
    case, record = ran
    sums = {(k[0], State(k[1]), *map(np.int64, k[2:])): np.int64(v) for k, v in record.sums.items()}
    history = record.history
    assert history is not None
    spans = dataclasses.replace(history.spans, station=history.spans.station.astype(np.int64))
    other = dataclasses.replace(
        record, sums=sums, history=dataclasses.replace(history, spans=spans)
    )
    assert kept.digests(case, other) == kept.digests(case, record)
