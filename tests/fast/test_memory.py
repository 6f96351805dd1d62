"""A line in flat memory: what is written is read, wherever it lies."""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass
from typing import Any

import numpy as np
import pytest

from linesim.fast.layout import kind_of, layout_of
from linesim.fast.memory import Memory
from linesim.line.assembly import assemble, site_of
from linesim.line.chance import Chance, Kept
from linesim.line.line import Line
from linesim.line.typed import Ref, Row
from linesim.scenario import find_scenario, load


@dataclass(slots=True)
class _Ream:
    weight_kg: float
    sheets: int


@dataclass(slots=True)
class _Pallet:
    number: int
    first: _Ream
    reams: Row[_Ream]
    heaviest: Ref[_Ream]
    counts: Row[int]
    stacked: Row[Ref[_Ream]]
    drawn: Row[int]


def _pallet() -> _Pallet:
    reams = [_Ream(2.5 + i, 500 + i) for i in range(3)]
    return _Pallet(
        number=7,
        first=_Ream(1.25, -1),
        reams=Row("reams", 3, reams),
        heaviest=reams[2],
        counts=Row("counts", 5, [4, 5]),
        stacked=Row("reams", 3, [reams[1], reams[0]]),
        drawn=Kept(np.array([9, 8, 7])),
    )


def test_what_is_written_is_read() -> None:
    pallet = _pallet()
    memory = Memory(pallet)
    wanted = _pallet()
    pallet.number, pallet.first.weight_kg, pallet.reams[1].sheets = 0, 0.0, 0
    pallet.counts.clear()
    pallet.stacked.clear()
    memory.fetch(pallet)
    assert (pallet.number, pallet.first, pallet.counts) == (7, wanted.first, [4, 5])
    assert pallet.reams == wanted.reams
    assert pallet.heaviest is pallet.reams[2]
    assert [ream is pallet.reams[i] for ream, i in zip(pallet.stacked, (1, 0), strict=True)]
    assert memory.values(pallet, "counts").tolist() == [4, 5]


def test_single_numbers_can_be_read_and_written() -> None:
    pallet = _pallet()
    memory = Memory(pallet)
    memory.set_number(pallet, "number", 1 << 62)
    assert memory.number(pallet, "number") == 1 << 62
    assert memory.taken(pallet, "counts").tolist() == [4, 5]
    assert memory.values(pallet, "counts").tolist() == []
    memory.point(pallet, "drawn", Kept(np.array([1])))
    assert len(pallet.drawn.array) == 1  # type: ignore[attr-defined]


def test_fields_lie_one_after_another() -> None:
    layout = layout_of(_Pallet)  # type: ignore[arg-type]
    assert [field.offset for field in layout.by_name.values()] == [0, 8, 24, 56, 64, 96, 128]
    assert layout.size == 160


def test_what_cannot_lie_there_is_refused() -> None:
    with pytest.raises(TypeError, match="cannot lie in flat memory"):
        kind_of(dict)


def _same(one: Any, other: Any, seen: set[int]) -> bool:
    if id(one) in seen or isinstance(one, Kept):
        return True
    seen.add(id(one))
    if is_dataclass(one) and not isinstance(one, type):
        names = [field.name for field in fields(one) if field.name in layout_of(type(one)).by_name]
        return all(_same(getattr(one, name), getattr(other, name), seen) for name in names)
    if isinstance(one, Row):
        pairs = zip(one, other, strict=True)
        return len(one) == len(other) and all(_same(a, b, seen) for a, b in pairs)
    return bool(one == other)


@pytest.mark.parametrize("name", ["short-bridge", "orders", "two-wrappers"])
def test_a_whole_line_comes_back_as_it_went(name: str) -> None:
    def line() -> Line:
        site = site_of(load(find_scenario(name)), Chance(1, 0))
        return assemble(site, end_ns=10**14, keeps=True, forced=())

    one, other = line(), line()
    memory = Memory(one)
    memory.fetch(one)
    assert _same(one, other, set())
