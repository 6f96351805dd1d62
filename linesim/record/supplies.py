"""What was taken from the stores for the orders, and when: reels of paper, wrapping rolls."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class ReelMove:
    """A reel taken from the store, or a part reel taken back to it at a change of order."""

    at_ns: int
    back: bool
    """True for paper that goes back to the store."""
    web_width_um: int
    thickness_um: float
    grammage_mg_per_m2: int
    length_um: int

    @property
    def mass_kg(self) -> float:
        return self.length_um * self.web_width_um * self.grammage_mg_per_m2 / 1e18


@dataclass(frozen=True)
class RollPutOn:
    """A wrapping roll put on a wrapper."""

    at_ns: int
    wrapper: int
    """Number of the wrapper, 0 for the first."""
    sheet_width_um: int
    sheet_length_um: int


@dataclass(frozen=True)
class Supplies:
    """All of a run, in the order in which they were taken."""

    reels: tuple[ReelMove, ...] = ()
    rolls: tuple[RollPutOn, ...] = ()


NO_SUPPLIES = Supplies()
