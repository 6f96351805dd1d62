"""The bridge's level and the good reams, of the run and of its ghost, over what is on screen."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

import linesim
from gui.look import DARK, Palette, mixed
from gui.strip.reduce import StepCurve
from gui.strip.window_of_time import TimeWindow
from linesim.record import Record, State

_LOSS_TINTS = (State.DOWN, State.CHANGEOVER, State.BLOCKED, State.SLOWED)
_TINTED, _TINTED_DARK = 0.45, 0.6
"""How far from the ground to the state: as far as the curve of good reams has a contrast of 3 to
each band."""


class RunCurves:
    """Both curves of one run with history."""

    def __init__(self, record: Record, title: str = "") -> None:
        self.title = title
        assert record.history is not None
        self.level = StepCurve(*record.history.bridge_level())
        self.out = linesim.record.outflow(record)


@dataclass(frozen=True)
class Stretch:
    """A run, the one that it is held against, and the time that is looked at."""

    record: Record
    curves: RunCurves
    ghost: RunCurves | None
    window: TimeWindow

    def edges_ns(self, columns: int) -> NDArray[np.int64]:
        """The ends of so many columns of equal length."""
        window = self.window
        edges = np.linspace(window.start_ns, window.end_ns, max(1, columns) + 1)
        return edges.astype(np.int64)


def loss_tints(palette: Palette) -> list[str]:
    """The colours of the bands between nameplate and good reams, from above."""
    part = _TINTED_DARK if palette == DARK else _TINTED
    return [mixed(palette.ground, palette.fills[state], part) for state in _LOSS_TINTS]
