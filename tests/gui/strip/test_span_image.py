"""Lanes as pixels: shares as heights, hatches that lean to where the trouble came from."""

from __future__ import annotations

import numpy as np
import pytest

from gui.look import LIGHT, Palette
from gui.strip.lanes import Layer
from gui.strip.reduce import TimeIn
from gui.strip.span_image import argb, lane_pixels
from linesim.record import State

HEIGHT = 30
EDGES = np.arange(41, dtype=np.int64) * 1000


def layer(state: State, start: int, end: int, quiet: bool = False) -> Layer:
    return Layer(state, quiet, TimeIn(np.array([start]), np.array([end])))


def drawn(*layers: Layer, palette: Palette = LIGHT) -> np.ndarray:
    return lane_pixels(list(layers), EDGES, HEIGHT, palette, 1.0)


def test_a_block_fills_its_columns_and_leaves_the_others_clear() -> None:
    pixels = drawn(layer(State.DOWN, 10_000, 20_000))
    filled = pixels != 0
    assert filled[:, 10:20].all()
    assert not filled[:, :10].any()
    assert not filled[:, 20:].any()


def test_a_column_shows_the_share_of_each_state() -> None:
    pixels = drawn(layer(State.STARVED, 0, 500), layer(State.BLOCKED, 500, 800))
    column = pixels[:, 0]
    starved, blocked = argb(LIGHT.fills[State.STARVED]), argb(LIGHT.fills[State.BLOCKED])
    assert (column != 0).sum() == round(0.8 * HEIGHT)
    assert np.flatnonzero(column == blocked).max() < np.flatnonzero(column == starved).min()


def test_a_few_short_stops_have_a_mark_each() -> None:
    """One minute of eight hours is a pixel wide, and was not seen."""
    filled = drawn(layer(State.DOWN, 5_000, 5_001)) != 0
    assert filled[:, 4:7].all()
    assert not filled[:, :4].any()
    assert not filled[:, 7:].any()
    # At the edges, too, and beside one that is long enough.
    assert (drawn(layer(State.DOWN, 0, 1)) != 0)[:, :2].all()
    assert (drawn(layer(State.DOWN, 39_999, 40_000)) != 0)[:, -2:].all()
    starts, ends = np.array([1_000, 20_000]), np.array([1_100, 30_000])
    both = drawn(Layer(State.DOWN, False, TimeIn(starts, ends))) != 0
    assert both[:, [0, 1, 2, *range(20, 30)]].all()
    assert not both[:, 3:20].any()


def test_many_short_stops_show_how_much_they_take_together() -> None:
    starts = np.arange(40, dtype=np.int64) * 1000
    halves = drawn(Layer(State.DOWN, False, TimeIn(starts, starts + 500))) != 0
    assert (halves.sum(axis=0) == HEIGHT // 2).all()


def test_the_shortest_wait_is_seen() -> None:
    assert (drawn(layer(State.BLOCKED, 5_000, 5_001))[:, 5] != 0).sum() == 2
    assert (drawn(layer(State.STARVED, 5_000, 5_001, quiet=True))[:, 5] != 0).sum() == 0


@pytest.mark.parametrize(("state", "lean"), [(State.STARVED, -1), (State.BLOCKED, 1)])
def test_the_hatch_leans_to_where_the_trouble_came_from(state: State, lean: int) -> None:
    """Going up by one pixel, the lines go left for starved and right for blocked."""
    lines = drawn(layer(state, 0, 40_000)) != argb(LIGHT.fills[state])
    assert lines.any()
    assert not lines.all()
    upper, lower = lines[:-1], lines[1:]
    inner = slice(1, -1)
    assert (upper[:, inner] == np.roll(lower, lean, axis=1)[:, inner]).all()
    assert not (upper[:, inner] == np.roll(lower, -lean, axis=1)[:, inner]).all()
