"""The bridge's level and the good reams, of the run and of its ghost."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

import linesim
from gui.look import Palette, mixed
from gui.strip.reduce import StepCurve
from gui.strip.span_image import Pixels, argb
from linesim.record import Record

_FEW = 3
"""Changes in one column up to which each of them can be told."""


class RunCurves:
    """Both curves of one run with history."""

    def __init__(self, record: Record, title: str = "") -> None:
        self.title = title
        assert record.history is not None
        self.level = StepCurve(*record.history.bridge_level())
        self.out = linesim.record.outflow(record)


@dataclass(frozen=True)
class Mark:
    """A level of the bridge that matters."""

    words: str
    reams: int


def bridge_marks(record: Record) -> list[Mark]:
    """Levels at which something happens, and what the bridge holds."""
    bridge = record.scenario.bridge
    named = [
        ("restart at", bridge.restart_at_reams),
        ("slow at", bridge.slow_at_reams),
        ("catch up at", bridge.catch_up_at_reams),
        ("stop at", bridge.stop_at_reams),
        ("room for", record.scenario.bridge_places),
    ]
    return [Mark(f"{words} {reams}", reams) for words, reams in named if reams is not None]


def level_pixels(
    curve: StepCurve,
    ghost: StepCurve | None,
    edges_ns: NDArray[np.int64],
    height: int,
    most: int,
    palette: Palette,
    scale: float,
) -> Pixels:
    """The level as pixels: what lies on the bridge, filled, under the band between its extremes."""
    pixels = np.zeros((height, len(edges_ns) - 1), dtype=np.uint32)
    up = np.arange(height - 1, -1, -1, dtype=np.int16)[:, None]
    thick = max(1, round(1.5 * scale))
    each = (height - thick) / max(1, most)
    low, high = (_px(v * each) for v in curve.extremes(edges_ns))
    np.copyto(pixels, argb(mixed(palette.ground, palette.curve, 0.35)), where=up < high)
    np.copyto(pixels, argb(mixed(palette.ground, palette.curve, 0.15)), where=up < low)
    if ghost is not None:
        below, above = (_px(v * each) for v in ghost.extremes(edges_ns))
        fine = max(1, round(scale))
        line = (up >= below) & (up < above + fine)
        # As a band it would hide the run itself: only its edges.
        dense = ghost.changes(edges_ns) > _FEW
        line &= ~(dense & (up >= below + fine) & (up < above))
        np.copyto(pixels, argb(palette.ghost), where=line)
    # Where the level changes many times in a column, the band says more than its outline.
    few = np.flatnonzero(curve.changes(edges_ns) <= _FEW)
    line = (up >= low[few]) & (up < high[few] + thick)
    pixels[:, few] = np.where(line, np.uint32(argb(palette.curve)), pixels[:, few])
    return pixels


def _px(heights: NDArray[np.floating[Any]]) -> NDArray[np.int16]:
    return np.round(heights).astype(np.int16)


def band_pixels(
    curves: list[NDArray[np.float64]], colours: list[str], height: int, most: float
) -> Pixels:
    """What lies between each curve and the next as pixels, one column for each value."""
    pixels = np.zeros((height, len(curves[0])), dtype=np.uint32)
    up = np.arange(height - 1, -1, -1, dtype=np.int16)[:, None]
    rows = [_px(np.clip(curve / most, -1, 2) * height) for curve in curves]
    for one, other, colour in zip(rows, rows[1:], colours, strict=False):
        low, high = np.minimum(one, other), np.maximum(one, other)
        np.copyto(pixels, argb(colour), where=(up >= low) & (up < high))
    return pixels
