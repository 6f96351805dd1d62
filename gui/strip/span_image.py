"""A lane as pixels: in every column, the part of its time that each state takes.

Zoomed in, a column belongs to one state and the lane shows blocks. Zoomed out, many spans fall
into one column, and the columns show shares. Nothing is left out at any zoom: what is loud and
there at all is at least two pixels high, and stops that are few are at least three wide.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF
from PySide6.QtGui import QImage, QPainter

from gui.look import Hatch, Palette, calm, state_look
from gui.strip.lanes import Layer
from gui.strip.reduce import TimeIn
from linesim.record import OWN_STATES, WAITING

_LEAST_PX = 2
_LEAST_WIDE_PX = 3
_SPARSE = 3
"""Marks are drawn while they take less than one column in so many."""
Pixels = NDArray[np.uint32]


def lane_pixels(
    layers: list[Layer], edges_ns: NDArray[np.int64], height: int, palette: Palette, scale: float
) -> Pixels:
    """ARGB pixels of a lane, one column between each two edges; clear where it just runs."""
    columns = len(edges_ns) - 1
    pixels = np.zeros((height, columns), dtype=np.uint32)
    up = np.arange(height - 1, -1, -1, dtype=np.uint16)[:, None]
    floor = np.zeros(columns)
    for layer in layers:
        share = layer.time.shares(edges_ns)
        if not layer.quiet and layer.state in OWN_STATES:
            share[_marks(layer.time, edges_ns, scale)] = 1.0
        there = np.flatnonzero(share)
        if not len(there):
            continue
        part = slice(there[0], there[-1] + 1)
        tall = share[part] * height
        if not layer.quiet:
            tall = np.where(tall > 0, np.maximum(tall, _LEAST_PX * scale), 0.0)
        low = floor[part]
        top = np.minimum(low + tall, height)
        low_px = np.round(low).astype(np.uint16)
        high_px = np.round(top).astype(np.uint16) - low_px
        floor[part] = top
        # What lies below wraps round to very high.
        inside = up - low_px < high_px
        # The hatch is fixed to the screen: a column takes its own place in the pattern.
        tile = _tile(layer, height, columns, palette, scale)
        # No two layers meet, so what is added is what is there; to write where a mask says so
        # takes twenty times as long.
        pixels[:, part] |= tile[:, part] * inside
    return pixels


def _marks(time: TimeIn, edges_ns: NDArray[np.int64], scale: float) -> NDArray[np.intp]:
    """Columns of stops too short to be seen at their length, while they are few: a mark for each.

    Where they are many, shares tell how much they take together.
    """
    columns = len(edges_ns) - 1
    wide = max(1, round(_LEAST_WIDE_PX * scale))
    a_column = (int(edges_ns[-1]) - int(edges_ns[0])) / columns
    middles = time.short(edges_ns, round(wide * a_column), columns // (_SPARSE * wide))
    at = np.searchsorted(edges_ns, middles, side="right") - 1
    around: NDArray[np.intp] = (at[:, None] + np.arange(wide) - wide // 2).ravel()
    return np.clip(around, 0, columns - 1)


def _tile(layer: Layer, height: int, width: int, palette: Palette, scale: float) -> Pixels:
    """A layer's look, as high and as wide as the lane."""
    look = state_look(layer.state, palette)
    fill, line = look.fill, look.line
    if not layer.quiet:
        step = max(4, round(7 * scale))
    elif layer.state in WAITING:
        look = calm(look, palette)
        fill, line, step = look.fill, look.line, max(6, round(9 * scale))
    else:
        fill = line = look.fill
        step = 8
    return _hatched(fill, line, look.hatch, (height, width), step, max(1, round(scale)))


@lru_cache(64)
def _hatched(
    fill: str, line: str, hatch: Hatch, size: tuple[int, int], step: int, thick: int
) -> Pixels:
    height, width = size
    pixels = np.full((height, step), argb(fill), dtype=np.uint32)
    pattern = _pattern(hatch, height, step, thick)
    if pattern is not None:
        pixels[pattern] = argb(line)
    return np.tile(pixels, -(-width // step))[:, :width]


def _pattern(hatch: Hatch, height: int, step: int, thick: int) -> NDArray[np.bool_] | None:
    y, x = np.ogrid[:height, :step]
    if hatch is Hatch.FROM_UPSTREAM:  # leans to the left and up
        return np.asarray((x - y) % step < thick)
    if hatch is Hatch.FROM_DOWNSTREAM:  # leans to the right and up
        return np.asarray((x + y) % step < thick)
    if hatch is Hatch.CROSSED:
        return np.asarray(((x + y) % step < thick) | ((x - y) % step < thick))
    if hatch is Hatch.UPRIGHT:
        return np.asarray(np.broadcast_to(x % step < thick, (height, step)))
    if hatch is Hatch.LEVEL:
        # Few lines fit into a lane: they are twice as thick, and clear of its edges.
        return np.asarray(np.broadcast_to((y - step // 3) % step < 2 * thick, (height, step)))
    if hatch is Hatch.SQUARED:
        return np.asarray((x % step < thick) | (y % step < thick))
    return None


def argb(colour: str) -> int:
    """The colour as a pixel of full weight."""
    return 0xFF000000 | int(colour[1:], 16)


def draw_pixels(painter: QPainter, place: QPointF, pixels: Pixels, scale: float) -> None:
    """Draw the pixels, ``scale`` of them a point."""
    pixels = np.ascontiguousarray(pixels)
    height, width = pixels.shape
    # The image borrows the array's memory, so it is not handed out.
    image = QImage(pixels.data, width, height, 4 * width, QImage.Format.Format_ARGB32)
    image.setDevicePixelRatio(scale)
    painter.drawImage(place, image)
