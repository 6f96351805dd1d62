"""Pieces of Markdown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence


def plain(text: str) -> str:
    """The text so that nothing in it is taken for mark-up.

    >>> plain("every_km [km]")
    'every\\\\_km \\\\[km\\\\]'
    """
    for sign in "\\`*_[]<>|#&":
        text = text.replace(sign, "\\" + sign)
    return text


def table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table; the cells are Markdown."""
    return "\n".join(f"| {' | '.join(cells)} |" for cells in (heads, ["---"] * len(heads), *rows))


_NO_LIMIT = 1e9
"""What is bounded only by this is bounded by nothing that a reader need know."""
_ABOVE_ZERO = 1e-6


def within(unit: str, least: float | None, most: float | None, *, above: bool = False) -> str:
    """What a figure may be, in words; empty where anything goes. ``above``: more than ``least``.

    >>> within("m", 1, 1000), within("", 2, 1e9), within("h", 0, 5, above=True)
    ('1 to 1,000 m', '2 or more', 'above 0, up to 5 h')
    """
    if least is not None and 0 < least < _ABOVE_ZERO:
        least, above = 0, True
    if most is not None and most >= _NO_LIMIT:
        most = None
    low = "" if least is None else f"{least:,.10g}"
    if most is None:
        said = low and (f"above {low}" if above else f"{low} or more")
    elif above:
        said = f"above {low}, up to {most:,.10g}"
    else:
        said = f"{low} to {most:,.10g}" if low else f"up to {most:,.10g}"
    return f"{said} {unit}".strip() if said else ""
