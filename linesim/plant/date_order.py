"""Whether day or month stands first in the dates of a table, and how that is known.

A date with a number above 12 tells by itself. Where no date does, the shifts of the plant's counts
tell; without them the wrong order shows by scattering the days of a week over as many months.
Nothing is guessed without being said.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from linesim.plant.moments import DateOrder, date_parts, moment
from linesim.plant.raw_table import Cell, written

ORDER_WORDS: dict[DateOrder, str] = {
    "dmy": "day first",
    "mdy": "month first",
    "ymd": "year first",
}
ORDERS: dict[str, DateOrder] = {words.replace(" ", "-"): o for o, words in ORDER_WORDS.items()}
"""As an option names them."""
_YEAR = 4
"""Digits of a year that nothing else can be."""
_FEWEST_DAYS = 3
_SCATTERED = 3
"""Days spread over so many times the stretch are those of a wrong order."""

Shifts = Sequence[tuple[dt.datetime, dt.datetime]]


@dataclass(frozen=True)
class DatesRead:
    """``order`` of the dates of a table; ``why`` is empty where there is no question of it."""

    order: DateOrder
    why: str = ""
    certain: bool = True

    def words(self, what: str) -> str:
        """How the dates of *what* were read, in a sentence; empty where there is no question."""
        if not self.why:
            return ""
        other = "month-first" if self.order == "dmy" else "day-first"
        way_out = (
            ""
            if self.certain
            else f" If that is wrong, tell it, under Dates: {other} (in a command --dates {other})."
        )
        return f"Dates of {what} are read {ORDER_WORDS[self.order]}: {self.why}.{way_out}"


def dates_of(
    cells: Iterable[Cell], *, terms: DateOrder | None = None, shifts: Shifts = ()
) -> DatesRead:
    """How the dates in *cells* are written. *terms* goes before all else; *shifts* are the plant's.

    >>> dates_of(["03/02/2026", "03/03/2026", "03/04/2026"]).order
    'mdy'
    >>> dates_of(["03/02/2026"]).certain
    False
    """
    dated = [
        (cell, found) for cell in cells if isinstance(cell, str) if (found := date_parts(cell))
    ]
    if terms is not None:
        return DatesRead(terms, "as told" if dated else "")
    # One that begins with a year of four digits tells of itself alone: tables mix their dates.
    of_themselves = [text for text, parts in dated if len(parts[0]) == _YEAR]
    texts = [text for text, parts in dated if len(parts[0]) != _YEAR]
    parts = [each for _, each in dated if len(each[0]) != _YEAR]
    if not parts:
        return DatesRead("ymd" if dated else "dmy")
    pointed = any("." in written(text) for text in texts)
    if of_themselves and not pointed and not any(len(last) == _YEAR for _, _, last in parts):
        why = "years of two digits stand where those of four do"
        return DatesRead("ymd", why, certain=False)
    first_high = sum(int(first) > 12 for first, _, _ in parts)
    second_high = sum(int(second) > 12 for _, second, _ in parts)
    if first_high != second_high:
        order: DateOrder = "dmy" if first_high > second_high else "mdy"
        return DatesRead(order, "numbers above 12 are days")
    if pointed:
        return DatesRead("dmy", "as dates with points are")
    why = "numbers above 12 stand first and second" if first_high else "no number is above 12"
    return _undecided(texts, shifts, why)


def _undecided(texts: Sequence[str], shifts: Shifts, open_why: str) -> DatesRead:
    orders: tuple[DateOrder, DateOrder] = ("dmy", "mdy")
    days = {order: [at.date() for text in texts if (at := moment(text, order))] for order in orders}
    if shifts:
        known = {
            start.date() + dt.timedelta(days=n)
            for start, end in shifts
            for n in range((end.date() - start.date()).days + 1)
        }
        within = {order: sum(day in known for day in days[order]) for order in orders}
        if within["dmy"] != within["mdy"]:
            best = max(orders, key=lambda order: within[order])
            return DatesRead(best, "so they fall within the shifts of the counts")
    spans = {order: (max(days[order]) - min(days[order])).days + 1 for order in orders}
    closer = min(orders, key=lambda order: spans[order])
    if len(set(days["dmy"])) >= _FEWEST_DAYS and max(spans.values()) >= _SCATTERED * spans[closer]:
        why = f"{open_why}, but so they follow each other within {spans[closer]} days"
        return DatesRead(closer, f"{why}, not {max(spans.values())}", certain=False)
    return DatesRead("dmy", f"{open_why}, and nothing tells", certain=False)
