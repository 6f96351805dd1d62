"""Figures for people have no more digits than they have."""

import math

import pytest

from linesim.report.csv_folder import safe, table
from linesim.report.words import hours, percent
from linesim.statistics import Interval, rough


def test_a_figure_carries_its_interval():
    assert Interval(1831.7, 14.2, 0.95, 10).text() == "1,832 ± 14"
    assert percent(Interval(0.61325, 0.00427, 0.95, 10)) == "61.3 ± 0.4 %"
    assert hours(Interval(0.0231, 0.0004, 0.95, 10)) == "0.023 ± 0.001"


def test_what_is_the_same_in_every_run_and_a_single_run_are_told_apart():
    same = Interval(4.9896, 1.6e-15, 0.95, 10)
    single = Interval(4.9896, math.inf, 0.95, 1)
    assert (same.text(), single.text()) == ("4.99", "4.99")
    assert (hours(same), hours(single)) == ("4.99", "4.99")
    assert Interval(0.0, 0.0, 0.95, 10).text() == "0"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (1831.7, "1,832"),
        (42.09, "42.1"),
        (4.9896, "4.99"),
        (0.1234, "0.123"),
        (0.00001, "1.0e-05"),
    ],
)
def test_rough_figures_have_three_digits(value, text):
    assert rough(value) == text


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@x", " =1", "\t=1", "\r=1"])
def test_no_text_becomes_a_formula(text):
    assert safe(text).startswith("'")
    assert safe("wrapper-jam") == "wrapper-jam"
    assert '"a,b"' in table(["x"], [["a,b"]])
