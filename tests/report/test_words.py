"""Figures for people have no more digits than they have."""

import pytest

from linesim.report.csv_folder import safe, table
from linesim.report.plain import rough
from linesim.report.words import figure, percent
from linesim.studies import Estimate


def test_a_figure_carries_its_interval():
    assert figure(Estimate(1831.7, 14.2, 0.95, "reams/h")) == "1,832 ± 14"
    assert percent(Estimate(0.61325, 0.00427, 0.95, "1")) == "61.3 ± 0.4 %"


def test_without_spread_or_interval_there_is_none_shown():
    assert figure(Estimate(4.9896, None, 0.95, "kg")) == "4.99"
    assert figure(Estimate(4.9896, 1.6e-15, 0.95, "kg")) == "4.99"
    assert figure(Estimate(0.0, 0.0, 0.95, "h")) == "0"


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
