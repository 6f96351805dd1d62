"""Wide spans and wide intervals do not flatten the rest."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QApplication

from gui.charts.axes import NamedAxis, RoundAxis
from gui.charts.scales import Scale, along, tick_text, upwards
from gui.look import DARK, LIGHT


def test_values_that_span_much_are_logarithmic() -> None:
    assert along([5, 60, 600], 0, 1).logarithmic
    assert not along([5, 60], 0, 1).logarithmic
    assert not along([0, 60], 0, 1).logarithmic
    scale = along([1, 10, 100], 0, 100)
    assert scale.at(10) == pytest.approx((scale.at(1) + scale.at(100)) / 2)


def test_one_value_has_a_scale_too() -> None:
    assert along([3.0], 0, 1).at(3.0) == pytest.approx(0.5)
    flat = upwards([0.0, 0.0], [0.0, 0.0], 0, 1)
    assert flat.high > flat.low


def test_intervals_of_few_runs_are_cut_off() -> None:
    scale = upwards([100.0, 110.0], [-900.0, 1100.0], 0, 1)
    assert scale.high < 150
    assert scale.low >= 0


def test_bars_begin_at_nothing_and_show_both_ends() -> None:
    scale = upwards([20.0], [-10.0, 50.0], 0, 1, zero=True)
    assert scale.low < -10
    assert scale.high > 50
    assert 0 < scale.at(0) < 1


@pytest.mark.parametrize(("width", "least", "most"), [(230, 5, 6), (1000, 9, 13), (20, 1, 3)])
def test_an_axis_has_as_many_numbers_as_can_be_read(
    qapp: QApplication, width: int, least: int, most: int
) -> None:
    axis = RoundAxis("top", Scale(0, 8, 0, 8))
    ((_, ticks),) = axis.tickValues(0, 8, width)
    assert least <= len(ticks) <= most


def test_an_axis_lays_its_heading_out_where_it_has_one(qapp: QApplication) -> None:
    axis = RoundAxis("left")
    laid_out: list[str] = []
    axis.label.document().contentsChanged.connect(lambda: laid_out.append(axis.label.toPlainText()))
    axis.dress(DARK, QFont())
    axis.setLabel("")
    assert not laid_out
    axis.dress(DARK, QFont(), "reams <each>")
    assert laid_out[-1].strip() == "reams <each>"
    assert axis.label.isVisible()


def test_a_long_name_takes_no_room_from_those_it_does_not_touch(qapp: QApplication) -> None:
    axis = NamedAxis("bottom")
    long = "wrapper for export reams beside the pillar"
    names = [(0.1, "sheeter"), (0.3, "transfer"), (0.6, long), (0.9, "outfeed")]
    axis.name(names, LIGHT, qapp.font())
    axis.fit(700)
    ((_, shown),) = axis.tickValues(0, 1, 700)
    assert shown == [at for at, _ in names]


@given(st.floats(-1e9, 1e9), st.floats(1e-6, 1e9), st.integers(2, 12))
def test_ticks_lie_within_and_are_not_too_many(low: float, span: float, most: int) -> None:
    scale = Scale(low, low + span, 0.0, 100.0)
    if scale.high <= scale.low + 1e-9 * abs(low):
        return
    ticks = scale.ticks(most)
    assert len(ticks) <= most + 1
    assert all(-0.001 <= scale.at(tick) <= 100.001 for tick in ticks)


@pytest.mark.parametrize(
    ("ends", "most", "ticks"),
    [
        ((0, 100), 5, [0, 20, 40, 60, 80, 100]),
        # One number would say nothing of the scale.
        ((297, 343), 2, [300, 320, 340]),
        ((5, 300, "logarithmic"), 6, [5, 10, 20, 50, 100, 200]),
        # Few powers or none stand between near ends.
        ((22, 29, "logarithmic"), 4, [22, 24, 26, 28]),
    ],
)
def test_ticks_are_round(ends: tuple[float, ...], most: int, ticks: list[float]) -> None:
    low, high, *rest = ends
    assert Scale(low, high, 0, 1, bool(rest)).ticks(most) == pytest.approx(ticks)


def test_what_stands_at_a_place_is_what_was_put_there() -> None:
    assert Scale(0, 100, 20, 40).value(25) == 25
    middle = Scale(5, 500, 0, 2, logarithmic=True)
    assert middle.value(1) == pytest.approx(math.sqrt(5 * 500))
    assert middle.at(middle.value(0.3)) == pytest.approx(0.3)


@pytest.mark.parametrize(
    ("value", "ticks", "said"),
    [
        (0.5, [0.0, 0.5, 1.0], "0.5"),
        (12000.0, [0.0, 12000.0], "12,000"),
        (0.05, [0.0, 0.05], "0.05"),
        (-20.0, [-20.0, 0.0], "−20"),
        (1e-12, [0.0, 5.0], "0"),
    ],
)
def test_numbers_have_the_places_the_steps_need(
    value: float, ticks: list[float], said: str
) -> None:
    assert tick_text(value, ticks) == said
