"""A lane as pixels: in every column, the part of its time that each state takes.

Zoomed in, a column belongs to one state and the lane shows blocks. Zoomed out, many spans fall
into one column, and the columns show shares. Nothing is left out at any zoom: what is loud and
there at all is at least two pixels high.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QImage

from gui.look import Hatch, Palette, state_look
from gui.strip.lanes import Layer
from linesim import State

_LEAST_PX = 2
Pixels = NDArray[np.uint32]


def mixed(one: str, other: str, part: float) -> str:
    """A colour between two (``#rrggbb``); ``part`` of the other."""
    pairs = ((int(one[i : i + 2], 16), int(other[i : i + 2], 16)) for i in (1, 3, 5))
    return "#" + "".join(f"{round(a + (b - a) * part):02x}" for a, b in pairs)


def lane_pixels(
    layers: list[Layer], edges_ns: NDArray[np.int64], height: int, palette: Palette, scale: float
) -> Pixels:
    """ARGB pixels of a lane, one column between each two edges; clear where it just runs."""
    width = len(edges_ns) - 1
    pixels = np.zeros((height, width), dtype=np.uint32)
    up = np.arange(height - 1, -1, -1)[:, None]
    floor = np.zeros(width)
    for layer in layers:
        share = layer.time.shares(edges_ns)
        if not share.any():
            continue
        tall = share * height
        if not layer.quiet:
            tall = np.where(share > 0, np.maximum(tall, _LEAST_PX * scale), 0.0)
        top = np.minimum(floor + tall, height)
        inside = (up >= np.round(floor)) & (up < np.round(top))
        _fill(pixels, inside, layer, palette, scale)
        floor = top
    return pixels


def _fill(
    pixels: Pixels, inside: NDArray[np.bool_], layer: Layer, palette: Palette, scale: float
) -> None:
    look = state_look(layer.state, palette)
    if not layer.quiet:
        fill, line = look.fill, mixed(look.fill, palette.ground, 0.45)
        step = max(4, round(7 * scale))
    elif layer.state in (State.STARVED, State.BLOCKED):
        fill = palette.fills[State.RUNNING]
        line, step = mixed(fill, palette.text, 0.22), max(6, round(9 * scale))
    else:
        fill = line = look.fill
        step = 8
    pixels[inside] = argb(fill)
    pattern = _pattern(look.hatch, pixels.shape, step, max(1, round(scale)))
    if pattern is not None:
        pixels[inside & pattern] = argb(line)


def _pattern(
    hatch: Hatch, shape: tuple[int, ...], step: int, thick: int
) -> NDArray[np.bool_] | None:
    y, x = np.ogrid[: shape[0], : shape[1]]
    if hatch is Hatch.FROM_UPSTREAM:  # leans to the left and up
        return np.asarray((x - y) % step < thick)
    if hatch is Hatch.FROM_DOWNSTREAM:  # leans to the right and up
        return np.asarray((x + y) % step < thick)
    if hatch is Hatch.CROSSED:
        return np.asarray(((x + y) % step < thick) | ((x - y) % step < thick))
    if hatch is Hatch.UPRIGHT:
        return np.asarray(np.broadcast_to(x % step < thick, shape))
    if hatch is Hatch.LEVEL:
        return np.asarray(np.broadcast_to(y % step < thick, shape))
    return None


def argb(colour: str) -> int:
    """The colour as a pixel of full weight."""
    return 0xFF000000 | int(colour[1:], 16)


def image_of(pixels: Pixels, scale: float) -> QImage:
    """The pixels as an image of their own, for a screen of ``scale`` pixels a point."""
    pixels = np.ascontiguousarray(pixels)
    height, width = pixels.shape
    made = QImage(pixels.data, width, height, 4 * width, QImage.Format.Format_ARGB32).copy()
    made.setDevicePixelRatio(scale)
    return made
