"""The bridge's level and the good reams, of the run and of its ghost."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

import linesim
from gui.look import Palette
from gui.strip.reduce import StepCurve
from gui.strip.span_image import Pixels, argb, mixed
from linesim import Record


class RunCurves:
    """Both curves of one run with history."""

    def __init__(self, record: Record, title: str = "") -> None:
        self.title = title
        assert record.history is not None
        self.level = StepCurve(*record.history.bridge_level())
        self.out = linesim.outflow(record)


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
    up = np.arange(height - 1, -1, -1)[:, None]
    thick = max(1, round(1.5 * scale))
    each = (height - thick) / max(1, most)
    low, high = (v * each for v in curve.extremes(edges_ns))
    pixels[up < high] = argb(mixed(palette.ground, palette.curve, 0.35))
    pixels[up < low] = argb(mixed(palette.ground, palette.curve, 0.15))
    if ghost is not None:
        below, above = (v * each for v in ghost.extremes(edges_ns))
        line = (up >= np.round(below)) & (up < np.round(above) + max(1, round(scale)))
        pixels[line] = argb(palette.ghost)
    # Where the level changes many times in a column, the band says more than its outline.
    few = curve.changes(edges_ns) <= 3
    line = (up >= np.round(low)) & (up < np.round(high) + thick) & few
    pixels[line] = argb(palette.curve)
    return pixels
