"""What was made of each product, and where the time went meanwhile: kept where there are orders."""

from __future__ import annotations

from copy import deepcopy
from typing import TYPE_CHECKING

from linesim.record import Part

if TYPE_CHECKING:
    from linesim.line.assembly import Line


class Products:
    """Cuts accounts and books of a run where one product gives way to another."""

    def __init__(self, line: Line) -> None:
        self._line = line
        self._order = 0
        self.parts: list[Part] = []
        """Those that are over, in turn."""
        self.begin()

    def begin(self) -> None:
        """Counting begins now."""
        line = self._line
        self.parts.clear()
        self._since = line.floor.now
        self._losses = [[0] * len(row) for row in line.ledger.losses]
        self._books = deepcopy(line.floor.books)
        for book in (self._books.paper, self._books.sheets, self._books.reams):
            book.at_end = book.at_start
        self._wrapped_by = line.wrapped_by()
        self._taken_out = line.taken_out()

    def made(self, next_order: int) -> None:
        """The change-over is done: what follows is of ``next_order``."""
        self._cut()
        self._order = next_order

    def end(self) -> None:
        """The run is over."""
        if self._line.floor.scenario.order:
            self._cut()

    def _cut(self) -> None:
        line, now = self._line, self._line.floor.now
        losses = line.ledger.losses_by(now)
        books = deepcopy(line.take_stock())
        wrapped_by, taken_out = line.wrapped_by(), line.taken_out()
        self.parts.append(
            Part(
                self._order,
                self._since,
                now,
                tuple(
                    tuple(ns - before for ns, before in zip(row, then, strict=True))
                    for row, then in zip(losses, self._losses, strict=True)
                ),
                books.since(self._books),
                tuple(n - then for n, then in zip(wrapped_by, self._wrapped_by, strict=True)),
                taken_out - self._taken_out,
            )
        )
        self._since, self._losses, self._books = now, losses, books
        self._wrapped_by, self._taken_out = wrapped_by, taken_out
