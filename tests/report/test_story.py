"""The paragraph that stands first: its parts, its figures, and what it does not say."""

from __future__ import annotations

import re
from functools import cache

import pytest

import linesim
from linesim.report import Story, story
from linesim.studies.replications import replicate
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


def test_one_loss_is_one_and_nothing_lost_is_nothing():
    (made, missing, _) = told(replicate(calm(), hours=1, replications=1)).sentences
    # The reels are changed once, ten minutes: 320 of 1,920 reams.
    assert missing == "Of the 320 reams missing there most go to reel changes (320)."
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
