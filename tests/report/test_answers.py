"""Answers for people and for programs."""

import json

from linesim.report.answers import Answer, AnswerTable, Column, Figure, answer_json
from linesim.report.answers.bridge import bridge_words
from linesim.report.answers.printing import cell_text
from linesim.studies.runner import Runner, Settings
from linesim.studies.size_bridge import size_bridge
from tests.studies.lines import quick_line


def test_a_difference_not_shown_is_marked() -> None:
    assert cell_text(Figure(120.0, 300.0, False)) == "~ 120 ± 300"
    assert cell_text(Figure(620.0, 80.0)) == "620 ± 80"
    assert cell_text(None) == "-"


def test_json_keeps_figures_whole_and_says_whether_they_are_shown() -> None:
    table = AnswerTable(
        "t",
        "T",
        (Column("what"), Column("gain", "reams")),
        (("a", Figure(1.5, 2.5, False)), ("b", None)),
    )
    data = json.loads(answer_json(Answer("s", "line", ("Words.",), (table,))))
    assert data["tables"]["t"]["rows"] == [
        {"what": "a", "gain": {"mean": 1.5, "half_width": 2.5, "shown": False}},
        {"what": "b", "gain": None},
    ]


def test_the_knee_is_said_in_words() -> None:
    line = quick_line(contribution_per_ream=0.5, ream_place_cost=1e7)
    with Runner(Settings(replications=3, hours=4, processes=1)) as runner:
        found = size_bridge(line, runner, [6, 20, 60])
    words = " ".join(bridge_words(line, found, None))
    assert "Beyond 6 places another place earns less than what it costs" in words
    assert "None is shown to earn more." in words
    assert "every restart costs rejects" not in words  # this line rejects none
    assert "restarted by level" in words
