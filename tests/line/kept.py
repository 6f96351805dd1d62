"""Records of many lines, boiled down to digests and kept, so that no figure moves unnoticed."""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np

from linesim.record import Record
from linesim.scenario import find_scenario, load
from tests.line.any_line import any_forced, any_scenario

FILE = Path(__file__).with_name("kept_records.txt")
DEMOS = ("orders", "short-bridge", "slow-wrapper", "small-crew", "two-wrappers")
RANDOM_LINES = 1000
GROUPS = {
    "accounts": ("stations", "causes", "cause_kinds", "sums", "losses", "stops"),
    "books": ("books", "wrapped_by", "good_per_bucket", "taken_out"),
    "times": ("start_ns", "end_ns", "begun_ns"),
    "orders": ("orders", "supplies", "products"),
}
_HISTORY = {"sets": "set_", "reams": "ream_", "motion": "speed_", "reels": "reel_"}


def cases() -> list[str]:
    """Names of all cases."""
    demos = [f"{name}, replication {i}" for name in DEMOS for i in range(3)]
    return demos + [f"line {number}" for number in range(RANDOM_LINES)]


def record_of(case: str, simulate: Callable[..., Record]) -> Record:
    """The record of a case."""
    name, _, replication = case.partition(", replication ")
    if replication:
        scenario = load(find_scenario(name))
        return simulate(scenario, hours=24, replication=int(replication), history=True)
    number = int(case.removeprefix("line "))
    scenario = any_scenario(number)
    return simulate(
        scenario,
        seed=number,
        hours=2,
        warm_up_h=0.25 * (number % 2),
        forced=any_forced(number, scenario),
        buckets=100,
        history=number % 3 > 0,
    )


def texts(record: Record) -> dict[str, str]:
    """What a record says, group by group: every number of it, and nothing of who made it."""
    found = {
        group: "\n".join(line for name in names for line in _lines(getattr(record, name), name))
        for group, names in GROUPS.items()
    }
    history = record.history
    if history is not None:
        for group, start in _HISTORY.items():
            columns = [f.name for f in dataclasses.fields(history) if f.name.startswith(start)]
            found[group] = "\n".join(
                line for name in columns for line in _lines(getattr(history, name), name)
            )
        # In what order the spans of different stations are entered is no matter of the line.
        order = np.lexsort((history.spans.start_ns, history.spans.station))
        found["spans"] = "\n".join(
            line
            for field in dataclasses.fields(history.spans)
            for line in _lines(getattr(history.spans, field.name)[order], field.name)
        )
    return found


def _lines(value: Any, name: str) -> Iterator[str]:
    if isinstance(value, np.ndarray):
        yield f"{name} {value.dtype} {value.tolist()!r}"
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            yield from _lines(getattr(value, field.name), f"{name}.{field.name}")
    elif isinstance(value, dict):
        for key in sorted(value):
            yield from _lines(value[key], f"{name}[{key}]")
    elif isinstance(value, tuple) and value and dataclasses.is_dataclass(value[0]):
        for i, each in enumerate(value):
            yield from _lines(each, f"{name}[{i}]")
    else:
        yield f"{name} {value!r}"


def digests(record: Record) -> dict[str, str]:
    """Eight digits for each group."""
    return {
        group: hashlib.sha256(text.encode()).hexdigest()[:8]
        for group, text in texts(record).items()
    }


def kept() -> dict[str, dict[str, str]]:
    """The digests that were kept, by case."""
    found = {}
    for line in FILE.read_text(encoding="utf-8").splitlines():
        case, _, rest = line.partition(": ")
        found[case] = dict(pair.split("=") for pair in rest.split())
    return found


def written(case: str, found: dict[str, str]) -> str:
    """A case's line in the file."""
    return f"{case}: {' '.join(f'{group}={digest}' for group, digest in found.items())}"
