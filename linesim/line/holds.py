"""Holds: reasons for which the webs stand, and what each tells about it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from linesim.line.stoppage import Stoppage
from linesim.record.states import State

LEVEL_HOLD = -3
"""Station number of a hold by bridge level; nobody's in particular."""
FULL_HOLD = -2
"""The same for full pockets."""


class Hold(Protocol):
    """Something for which the webs stand."""

    @property
    def station(self) -> int:
        """Where; -1 for the whole line."""

    @property
    def cause(self) -> int: ...

    @property
    def state(self) -> State:
        """What the station does while the webs stand for it."""

    def stood(self) -> None:
        """The webs stand."""


class PlainHold:
    """The webs stand until somebody lets them go: full pockets, bridge level, a break."""

    def __init__(self, station: int, cause: int, state: State) -> None:
        self.station = station
        self.cause = cause
        self.state = state

    def stood(self) -> None:
        """Nobody needs to go in."""


class WebStop(Stoppage):
    """A stop cause of a station on the webs."""

    spoils: Callable[[], None] | None = None

    def stood(self) -> None:
        """People may go in; what the stop spoils is cleared away."""
        if self.spoils is not None:
            self.spoils()
        self.begin_job()
