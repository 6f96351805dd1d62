"""The task of a study: what it tells on the way, how it stops, and that it goes on."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

import linesim
from gui.work.ask_task import KeptRuns, ask
from gui.work.messages import TaskCancelledError

QUESTION = linesim.questions.Question("vary", {"fields": ["crew.size=1,3"]})
SETTINGS = linesim.studies.Settings(replications=4, hours=0.25, processes=1)
TEXTS = (("", "[line]\nname = 'quick'\n"),)


class Heard:
    """A window that listens, and may want it stopped after some answers."""

    def __init__(self, answers: int | None = None) -> None:
        self.parts: list[Any] = []
        self.words: list[str] = []
        self._answers = answers

    def progress(self, part: float | None, words: str = "") -> None:
        assert part is not None
        assert 0 <= part <= 1
        self.words.append(words)

    def partial(self, value: Any) -> None:
        self.parts.append(value)

    def cancelled(self) -> bool:
        return self._answers is not None and len(self.parts) > self._answers


pytestmark = pytest.mark.usefixtures("cache")


def asked(heard: Heard, study_file: Path | None = None) -> linesim.report.Answer:
    return ask(
        heard, question=QUESTION, scenario_texts=TEXTS, settings=SETTINGS, study_file=study_file
    )


def test_partial_answers_come_before_the_whole_one(cache: Path) -> None:
    heard = Heard()
    answer = asked(heard)
    assert isinstance(heard.parts[0], KeptRuns)
    assert [each.facts["replications"] for each in heard.parts[1:]] == [2, 3]
    assert answer.facts["stopped_early"] is False
    assert heard.words[-1].startswith("8 of 8 runs")
    assert list(cache.rglob("*.sqlite")) == []


def test_partial_answers_of_a_doubted_line_have_both_parts_and_it_goes_on_after_a_stop() -> None:
    doubt = '[{ of = "rate_reams_per_min", between = [15, 60] }]'
    text = f"[[wrapper]]\nrate_reams_per_min = 30\ndoubt = {doubt}\n"

    def answered(heard: Heard) -> linesim.report.Answer:
        settings = linesim.studies.Settings(replications=9, hours=0.25, processes=1)
        return ask(heard, question=QUESTION, scenario_texts=(("", text),), settings=settings)

    heard = Heard()
    whole = answered(heard)
    first, *_ = heard.parts[1:]
    assert first.facts["replications"] == 2
    assert all(row[1].doubt > 0 for answer in (first, whole) for row in answer.tables[0].rows)
    # Two squares of runs of each of the two variants.
    cut = Heard(answers=1)
    assert answered(cut).facts["stopped_early"] is True
    again = Heard()
    assert linesim.report.answer_json(answered(again)) == linesim.report.answer_json(whole)
    assert again.parts[0].found >= 16


def test_a_stopped_study_keeps_its_runs_and_goes_on() -> None:
    cut = asked(Heard(answers=1))
    assert cut.facts["stopped_early"] is True
    again = Heard()
    whole = asked(again)
    assert again.parts[0].found >= 4
    assert linesim.report.answer_json(whole) == linesim.report.answer_json(asked(Heard()))


def test_a_file_that_was_named_is_kept(tmp_path: Path) -> None:
    path = tmp_path / "mine.sqlite"
    answer = asked(Heard(), path)
    assert linesim.report.answer_json(
        linesim.questions.answer_from_file(path)[1]
    ) == linesim.report.answer_json(answer)


def test_stopped_at_once_nothing_is_left() -> None:
    with pytest.raises(TaskCancelledError):
        asked(Heard(answers=0))


def test_what_cannot_be_asked_is_said_in_the_words_of_the_form() -> None:
    with pytest.raises(ValueError, match=r"^Good reams a week: say how many") as caught:
        ask(
            Heard(),
            question=linesim.questions.Question("meet-target", {}),
            scenario_texts=TEXTS,
            settings=SETTINGS,
        )
    assert "reams-per-week" not in str(caught.value)
