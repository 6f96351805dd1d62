"""The rework table: spoiled wraps are opened and wrapped again by hand, when people have time."""

from __future__ import annotations

from array import array
from collections.abc import Callable
from typing import TYPE_CHECKING

from linesim.line.clock import MINUTE
from linesim.line.crew import Job

if TYPE_CHECKING:
    from linesim.line.floor import Floor


class Rework:
    """So many places; a ream that finds none is repulped."""

    def __init__(self, floor: Floor) -> None:
        table = floor.scenario.rework
        self._floor = floor
        self.table = table
        self.lying = 0
        self.product = 0
        """How many products were made before this one."""
        self.saved_rows = array("q")
        """When reams were saved."""
        self.times = floor.chance.stream(table.rewrap_min, MINUTE, "rework", "time")
        self.saved = floor.chance.coin(table.good_chance, "rework", "saved")

    def bring(self) -> None:
        """A spoiled ream arrives."""
        floor = self._floor
        if self.lying >= self.table.places:
            floor.books.reams.repulped += 1
            return
        self.lying += 1
        length, saved, product = self.times.draw(), self.saved.falls(), self.product

        def done() -> None:
            self.lying -= 1
            if saved:
                floor.books.reams.reworked += 1
                if floor.keep:
                    self.saved_rows.append(floor.now)
                if self.good is not None:
                    self.good(product)
            else:
                floor.books.reams.repulped += 1

        priority = floor.scenario.crew.priority_rework
        floor.crew.ask(Job(self.table.people, priority, length, stands=False, done=done))

    good: Callable[[int], None] | None = None
    """Told of the product of each ream that is saved, where somebody counts them in time."""
