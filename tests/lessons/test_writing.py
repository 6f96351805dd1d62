"""A lesson written from a stop is one that can be used, and says what was put in."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

import linesim
from linesim.commands.main import main
from linesim.lessons import askable, load_lesson, write_lesson
from linesim.scenario import ForcedStop

WORDS = {
    "title": 'The "packer" stands',
    "story": "It stands.\nNobody knows why.",
    "asks": "How many?",
    "afterwards": "x" * 1900,
}


def line():
    path = linesim.scenario.find_scenario("slow-wrapper")
    return linesim.scenario.check_text(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("station", ["wrapper", "cutter", "transfer"])
def test_every_question_of_a_stop_gives_a_lesson_with_that_stop(tmp_path, station):
    stop = ForcedStop(station=station, at_h=1.25, minutes=2.5, cause="jam")
    for number, asked in enumerate(askable(stop, line())):
        path = tmp_path / f"my {number}.toml"
        write_lesson(path, stop, line(), asked, **WORDS, nothing_else_stops=False)
        lesson = load_lesson(path)
        assert lesson.model_dump(include=set(WORDS)) == WORDS
        assert (lesson.measure, lesson.sum) == (asked.measure, asked.sum)
        assert lesson.reached_station == asked.reached_station
        assert (lesson.stop.station, lesson.stop.at_h, lesson.stop.minutes) == (station, 1.25, 2.5)
        # The run ends an hour after the stop, as the question has it.
        assert lesson.hours == pytest.approx(1.25 + 2.5 / 60 + 1, abs=1e-4)
        assert not lesson.needs.nothing_else_stops
        # The line is that of the window, whatever else its name may lead to.
        assert linesim.lessons.lesson_scenario(lesson, file=path) == line()
    told = CliRunner().invoke(main, ["check", str(path)])
    assert told.output == f"{path}: a lesson, no faults\n"


def test_nothing_is_written_where_something_is_wrong_and_all_of_it_is_told(tmp_path):
    stop = ForcedStop(station="wrapper", at_h=1, minutes=4)
    words = WORDS | {"title": "x" * 61, "story": ""}
    asked = askable(stop, line())[0]
    with pytest.raises(linesim.scenario.ScenarioFaults) as caught:
        write_lesson(tmp_path / "bad.toml", stop, line(), asked, **words)
    assert {fault.field for fault in caught.value.faults} == {"title", "story"}
    assert list(tmp_path.iterdir()) == []


def test_check_tells_the_faults_of_a_lesson_as_of_a_lesson(tmp_path):
    path = tmp_path / "bad.toml"
    path.write_text('asks = "How many?"\nmeasure = "reams"\n', encoding="utf-8")
    told = CliRunner().invoke(main, ["check", str(path)])
    assert told.exit_code == 2
    assert "reams_lost" in told.output
    assert "afterwards" in told.output
