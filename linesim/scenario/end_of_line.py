"""Tables of the stations behind the wrappers, in the order in which reams meet them."""

from __future__ import annotations

from linesim.scenario.fields import Powered, quantity

END_OF_LINE = ("outfeed",)
"""Their names in a scenario, in that order; each has a table, or is not there."""


class EndOfLine(Powered):
    """A station behind the wrappers: it takes ream after ream, with a small buffer before it.

    Where it has no room, whatever stands before it holds on to its ream and waits.
    """

    rate_reams_per_min: float = quantity(
        40.0, "reams/min", (0.001, 1e7), usual=(20, 100), label="rated speed"
    )
    """rated speed"""
    buffer_reams: int = quantity(
        10, "reams", (0, 1_000_000), usual=(5, 40), label="reams that may wait before it"
    )
    """wrapped reams that may wait before it"""

    @property
    def extra_s(self) -> tuple[float, ...]:
        """What one ream after another takes beyond the rated time, over and over."""
        return (0.0,)

    @property
    def pace_reams_per_min(self) -> float:
        """Reams a minute that it makes of itself."""
        reams, rate = len(self.extra_s), self.rate_reams_per_min
        return rate * reams / (reams + rate * sum(self.extra_s) / 60)


class Outfeed(EndOfLine):
    """What takes the wrapped reams (boxing, pallets), with a small buffer before it."""
