"""What is said of a bridge length: of one that was run, of one between two, of the ends."""

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from linesim.questions import Question
from linesim.questions.asking import ask
from linesim.report.answers import Answer, answer_json
from linesim.report.answers.answer import verdict
from linesim.report.answers.bridge_sizes import BridgeSizes
from linesim.scenario import check_text, find_scenario
from linesim.studies.runner import Settings
from tests.studies.lines import quick_line

SHORT = Settings(replications=4, hours=1, processes=1)
LINE = quick_line(contribution_per_ream=0.4, ream_place_cost=900.0)
POOR = quick_line()


def asked(places: str, line: Any = LINE, known: dict[str, Any] | None = None) -> Answer:
    question = Question("size-bridge", {"places": places, "levels": False})
    return ask(question, {"": line}, SHORT, known=known)


@cache
def sizes(line: Any = LINE) -> BridgeSizes:
    return BridgeSizes(line, asked("6,12,40", line).found)


def test_a_length_that_was_run_has_its_own_figures() -> None:
    found = sizes()
    assert (found.run, found.present) == ((6, 12, 20, 40), 20)
    said = found.at(12)
    point, step = found.found.points[1], found.found.steps[1]
    lines = dict(said.lines)
    assert said.rests_on == (12,)
    assert lines["Good reams a week"] == point.reams_per_week.text()
    assert point.sized.gain.interval.mean == pytest.approx(
        point.reams_per_week.mean - found.found.points[2].reams_per_week.mean
    )
    # Met the same luck: closer than two samples would be.
    assert point.blocked_h_per_week.text() in lines["Sheeter blocked, h a week"]
    further = lines["A further place"]
    assert "12 to 20" in further
    assert step.gain_per_place.interval.text() in further
    assert step.worth_per_place is not None
    assert step.worth_per_place.text() in further
    against = dict(found.at(20).lines)["Against the present 20, reams a week"]
    assert against == "it is the present one"
    assert "no longer bridge was run" in dict(found.at(40).lines)["A further place"]


def test_between_two_lengths_both_are_stated_and_nothing_is_drawn_in_between() -> None:
    found = sizes()
    said = found.at(15)
    assert said.rests_on == (12, 20)
    assert said.heading.startswith("15 places (4.95 m): not run; between 12 and 20")
    for name, words in said.lines[:3]:
        low, high = dict(found.at(12).lines)[name], dict(found.at(20).lines)[name]
        assert words == f"with 12: {low}; with 20: {high}"
    assert said.lines[3] == found.at(12).lines[3]
    assert said.heading in said.spoken
    for outside in (5, 41):
        with pytest.raises(ValueError, match="only 6 to 40 were run"):
            found.at(outside)


def test_without_money_a_share_of_the_output_decides() -> None:
    further = dict(sizes(POOR).at(6).lines)["A further place"]
    assert "0.05 % of the output" in further
    assert "a year" not in further


def test_one_more_length_makes_its_own_runs_and_gives_the_answer_asked_at_once() -> None:
    known: dict[str, Any] = {}
    asked("6,12,40", known=known)
    assert len(known) == 4 * SHORT.replications
    grown = asked("6,12,20,30,40", known=known)
    assert len(known) == 5 * SHORT.replications
    assert answer_json(grown) == answer_json(asked("6,12,20,30,40"))
    found = BridgeSizes(LINE, grown.found)
    assert found.run == (6, 12, 20, 30, 40)
    assert found.at(30).rests_on == (30,)


def test_a_much_shorter_bridge_that_brings_half_is_named_and_so_is_a_search_that_ended() -> None:
    """Places that cost next to nothing: the longest is best. 60 places are 45 more of 155."""
    text = Path(find_scenario("short-bridge")).read_text(encoding="utf-8")
    text = text.replace("ream_place_cost = 1500", "ream_place_cost = 1")
    text = text.replace("length_m = 7", "length_m = 4.95\nlongest_m = 80", 1)
    question = Question("size-bridge", {"places": "15,30,60,170", "levels": False})
    settings = replace(SHORT, replications=6, hours=8)
    answer = ask(question, {"": check_text(text, file="cheap.toml")}, settings)
    best = answer.found.best
    sizes = {each.places[0]: each for each in best.sizes}
    assert best.best is sizes[170]
    half = best.best.gain.interval.mean / 2
    assert sizes[30].gain.interval.mean < half < sizes[60].gain.interval.mean
    said = " ".join(answer.words)
    brings = verdict(sizes[60].gain, "reams a week", of="")
    assert f"Over half of the gain comes with the bridge with 60 places (19.8 m): {brings}." in said
    assert "No larger one than the best was tried: it may be better still." in said
    # Where the best is not the last of them nothing ends with it.
    assert "No larger one" not in " ".join(asked("6,12,40").words)
