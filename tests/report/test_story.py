"""The paragraph that stands first: its parts, its figures, and what it does not say."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest

import linesim
from linesim.money import Purchase
from linesim.report import Story, story
from linesim.statistics import Interval
from linesim.studies import WhatHelps
from linesim.studies.changes import changed
from linesim.studies.differences import Difference
from linesim.studies.replications import replicate
from linesim.studies.what_to_change import Alone
from linesim.studies.worth import Worth
from tests.line.calm_line import calm, one_web, stop
from tests.studies.order_lines import calm_orders


@cache
def shaky(runs: int = 4) -> linesim.Replicated:
    """A line whose knives stand behind a wrapper that jams."""
    jam = stop("wrapper", "wrapper jam", every_reams={"law": "exponential", "mean": 300})
    line = one_web(stop=[jam | {"restore_min": 4}], bridge={"places": 12})
    return replicate(line, replications=runs, hours=1)


def told(runs: linesim.Replicated) -> Story:
    found = story(runs)
    assert len(found.text.split()) <= 110
    assert not re.search(r"\b1 reams|\bthe the\b|\(\)|  |\binf\b|\bnan\b", found.text)
    return found


def test_it_says_what_is_made_what_is_missing_for_what_and_what_holds():
    runs = shaky()
    found = told(runs)
    made, missing, holds = found.sentences
    rate = runs.measure("good_reams_per_hour")
    assert made.startswith("The line “")
    assert f"{rate.text()} an hour" in made
    assert "of its nameplate, which the sheeter sets." in made
    # 32 reams a minute: what is not made of 1,920 is missing.
    assert found.gap.mean == pytest.approx(1920 - rate.mean, abs=20)
    assert f"Of the {found.gap.text()} reams missing there" in missing
    jams = next(each for each in found.losses if each.name == "standing behind the wrapper")
    assert jams.causes == ("wrapper jams",)
    assert f"standing behind the wrapper, mostly for wrapper jams ({jams.reams.text()})" in missing
    assert holds == "The sheeter holds the line."


@pytest.mark.parametrize(
    ("demo", "cause"), [("short-bridge", "splices"), ("small-crew", "reel changes")]
)
def test_a_cause_takes_as_much_as_in_the_gap_by_cause(demo, cause):
    """They slow the line down before they stop it: both are theirs, wherever they are told."""
    line = linesim.load(linesim.shipped_scenarios()[demo])
    # Nobody is waited for: that is a loss of its own.
    line = changed(line, lambda data: data["crew"].update(size=5))
    runs = replicate(line, replications=3)
    charted = {each.name: each for each in linesim.report.gap_by_cause(runs)}
    told_of = {each.name: each.reams for each in told(runs).losses}
    assert told_of[cause] == charted[cause].reams
    assert any(how.startswith("running below") for how, _ in charted[cause].ways)
    assert "starts after stops" in charted


def test_one_loss_is_one_and_nothing_lost_is_nothing():
    (made, missing, _) = told(replicate(calm(), hours=1, replications=1)).sentences
    # The reels are changed once, ten minutes: 320 of 1,920 reams.
    assert missing == (
        "Of the 320 reams missing there most go to reel changes (320). None go to waiting for"
        " people or reels."
    )
    assert "±" not in made
    whole = told(replicate(calm(), hours=0.5, replications=1))
    assert "Nothing is lost." in whole.sentences or whole.gap.mean < 1


def test_what_the_orders_did_not_reach_is_said():
    first = told(replicate(calm_orders(), hours=0.2, replications=2))
    assert "Only the first of its" in first.text
    assert "no change-over is counted" in first.text


def test_a_station_that_stops_is_named_once_with_its_causes():
    names = [
        stop("wrapper", "jam", every_reams=200),
        stop("wrapper", "label", every_reams=170),
    ]
    found = told(
        replicate(calm(stop=names, wrapper=[{"rate_reams_per_min": 15}]), hours=1, replications=2)
    )
    assert found.sentences[1].count("stops of the wrapper") == 1
    assert {"jam", "label"} <= {cause for each in found.losses for cause in each.causes}


def lever(
    reams_a_week: float, half_width: float, worth: float | None, price: float | None
) -> Alone:
    """A lever found by five runs."""
    gain = Difference(Interval(reams_a_week, half_width, 0.95, 5), 9 * half_width, 0)
    spent = Purchase(price or 0.0, 0.0, 0.0, 10.0)
    same = Interval(0.0, 0.0, 0.95, 5)
    year = replace(same, mean=worth or 0.0, half_width=0.1 * (worth or 0.0))
    money = Worth(spent, same, same, same, same, same, year, year, None, None)
    return Alone(
        "longer_bridge", "longer bridge", "bridge of 14 m (now 7 m)", gain, same, "sheeter",
        None if price is None else spent, None if worth is None else money, None,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("worth", "price", "said"),
    [
        (100_000.0, 36_000.0, ", 100,000 ± 10,000 a year for 36,000."),
        (100_000.0, 0.0, ", 100,000 ± 10,000 a year with nothing to buy."),
        (100_000.0, None, ", up to 100,000 ± 10,000 a year."),
        (None, None, "."),
    ],
)
def test_what_would_help_is_told_in_reams_of_the_run_and_money(worth, price, said):
    runs = shaky()
    helps = WhatHelps((lever(168_000, 16_800, worth, price),), 9, 5, 24.0)
    # 168,000 a week are 1,000 an hour.
    start = "What would help most: bridge of 14 m (now 7 m), +1,000 ± 100 reams in 1 h"
    assert story(runs, helps).sentences[-1] == start + said
    assert story(runs, helps).sentences[:-1] == story(runs).sentences


def test_two_levers_are_said_to_be_alone_and_none_to_be_none():
    two = WhatHelps((lever(168_000, 16_800, None, None),) * 2, 9, 5, 24.0)
    assert story(shaky(), two).sentences[-1].startswith("What would help most, each alone: bridge")
    none = WhatHelps((), 9, 5, 24.0)
    assert story(shaky(), none).sentences[-1] == "No lever alone is shown to help."


def test_one_run_says_why_it_does_not_tell_what_helps():
    one = replicate(calm(), hours=0.2, replications=1)
    assert linesim.report.no_help_words(one) == "One run does not tell what would help"
    said = linesim.report.run_text(one, linesim.report.no_help_words(one))
    assert "(One run does not tell what would help.)" in said


def test_of_orders_gains_are_a_pace_in_manned_hours():
    helps = WhatHelps((lever(16_800, 1_680, None, None),), 9, 5, 24.0)
    runs = replicate(calm_orders(), hours=0.2, replications=2)
    assert story(runs, helps).sentences[-1].endswith("+100 ± 10 reams a manned hour.")
