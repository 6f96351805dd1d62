"""What stands behind page one and what in the appendix."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import given
from hypothesis import strategies as st

from linesim.report.page.choice import LEAST_FILLED, MOST_PAGES, Part, Round, chosen, part
from linesim.report.page.model import Grid, Paragraph, Section


def pages(sections: Sequence[Section]) -> list[float]:
    """Pages filled one after another, so many letters each."""
    letters = sum(len(b.text) for s in sections for b in s.blocks if isinstance(b, Paragraph))
    whole, rest = divmod(letters, 100)
    return [1.0] * whole + [rest / 100] * (rest > 0)


@st.composite
def parts(draw: st.DrawFn) -> list[Part]:
    rounds = st.sampled_from(list(Round)[:-1])
    sizes = st.integers(1, 90)
    return [
        part(
            f"part{n}",
            "Part",
            *((draw(rounds), [Paragraph("x" * draw(sizes))]) for _ in range(draw(sizes) % 9)),
        )
        for n in range(draw(st.integers(1, 5)))
    ]


@given(parts())
def test_five_pages_are_not_passed_and_nothing_is_lost(found: list[Part]):
    inside, rest = chosen(found, pages)
    filled = pages(inside)
    assert len(filled) <= MOST_PAGES
    assert all(each >= LEAST_FILLED for each in filled)
    shown = {id(b) for s in inside for b in s.blocks}
    left = {id(b) for s in rest for b in s.blocks}
    every = {id(b): of for each in found for of, b in each.blocks}
    assert shown | left == every.keys()
    assert not shown & left
    # Nothing that comes in later is in before something that is left out.
    assert max((every[n] for n in shown), default=0) <= min((every[n] for n in left), default=9)


def test_a_long_table_is_for_the_appendix():
    rows = tuple((f"{n}", "1") for n in range(40))
    grids = [Grid("Short", ("a", "b"), rows[:5]), Grid("Long", ("a", "b"), rows)]
    inside, rest = chosen([part("p", "P", (Round.ANSWER, grids))], lambda _: [1.0])
    assert [each.blocks for each in (*inside, *rest)] == [(grids[0],), (grids[1],)]
