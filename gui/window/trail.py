"""What was read one after the other, to go back through it and on again, as in a browser."""

from __future__ import annotations

from typing import NamedTuple


class Place(NamedTuple):
    """A chapter by its number, and how far down in it, px."""

    chapter: int
    y: int


class Trail:
    """Places left behind, and those that going back has left before."""

    def __init__(self) -> None:
        self._behind: list[Place] = []
        self._ahead: list[Place] = []

    @property
    def can_go_back(self) -> bool:
        """Whether something was read before."""
        return bool(self._behind)

    @property
    def can_go_forward(self) -> bool:
        """Whether one has gone back."""
        return bool(self._ahead)

    def leave(self, here: Place) -> None:
        """Go from here to somewhere new: what lay ahead is no more."""
        if self._behind[-1:] != [here]:
            self._behind.append(here)
        self._ahead.clear()

    def back(self, here: Place) -> Place:
        """The place before; there must be one."""
        self._ahead.append(here)
        return self._behind.pop()

    def forward(self, here: Place) -> Place:
        """The place that was left by going back; there must be one."""
        self._behind.append(here)
        return self._ahead.pop()
