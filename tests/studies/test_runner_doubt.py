"""Runs of plants that agree with what is known, crossed with luck."""

from pathlib import Path

import pytest

from linesim.questions import Question, ask
from linesim.questions.from_file import answer_from_file
from linesim.scenario import Scenario, check_mapping, without_doubt
from linesim.studies import Settings, replicate
from linesim.studies.runner import Runner
from tests.line.calm_line import calm

HOURS = 4.0


def _line(ends: tuple[float, float] = (18.0, 23.0)) -> Scenario:
    """A calm line whose wrapper is the slowest, and whose speed is not well known."""
    wrapper = {
        "rate_reams_per_min": 20.0,
        "doubt": [{"of": "rate_reams_per_min", "between": list(ends), "why": "the supplier"}],
    }
    return calm(wrapper=[wrapper], unwind={"change_min": 0})


def test_what_is_not_known_is_as_wide_as_its_ends_make_it() -> None:
    # The slowest station alone decides: reams an hour are 60 times its rate, and so are the ends.
    found = replicate(_line((19.0, 21.0)), hours=HOURS, warm_up_h=2, replications=40)
    good = found.measure("good_reams_per_hour")
    assert good.mean == pytest.approx(60 * 20, rel=0.01)
    assert good.doubt == pytest.approx(60 * 1, rel=0.2)
    assert good.half_width < 10
    assert good.contains(60 * 20.5)


def test_runs_come_in_squares_that_share_plants_and_luck() -> None:
    found = replicate(_line(), hours=HOURS, replications=10)
    runs = [(run.plant, run.replication) for run in found.runs]
    assert runs[:8] == [(1, 0), (-1, 0), (1, 1), (-1, 1), (2, 2), (-2, 2), (2, 3), (-2, 3)]
    assert len(runs) == 12


def test_without_doubt_nothing_is_crossed() -> None:
    line = without_doubt(_line())
    found = replicate(line, hours=HOURS, replications=3)
    assert [(run.plant, run.replication) for run in found.runs] == [(0, 0), (0, 1), (0, 2)]
    assert found.measure("good_reams_per_hour").doubt == 0


def test_a_doubted_price_alone_leaves_the_runs_as_they_are() -> None:
    money = {
        "contribution_per_ream": 0.4,
        "doubt": [{"of": "contribution_per_ream", "between": [0.3, 0.5]}],
    }
    found = replicate(calm(money=money), hours=HOURS, replications=3)
    assert [run.plant for run in found.runs] == [0, 0, 0]


def test_variants_meet_the_same_plants() -> None:
    line = _line()
    with Runner(Settings(replications=8, hours=HOURS)) as runner:
        stated = runner.as_stated({"": line})[""]
        # Where nothing stops, more people bring nothing, whatever the wrapper makes.
        more = stated.varied(crew={"size": 9})
        rows = runner.outcomes({"now": stated, "more people": more})
    assert [a.good_reams for a in rows["now"]] == [b.good_reams for b in rows["more people"]]
    assert len({run.good_reams for run in rows["now"]}) > 2


def test_same_seed_same_answer_in_one_process_or_two() -> None:
    one, two = (
        replicate(_line(), hours=HOURS, replications=8, processes=processes) for processes in (1, 2)
    )
    assert [run.text() for run in one.runs] == [run.text() for run in two.runs]


def test_a_study_file_answers_with_both_parts_again(tmp_path: Path) -> None:
    line = check_mapping(
        {
            "stop": [
                {
                    "cause": "wrapper jam",
                    "doubt": [{"of": "restore_min", "between": [0.2, 4.0]}],
                }
            ]
        }
    )
    kept = tmp_path / "study.sqlite"
    question = Question("vary", {"fields": ("crew.size=1,2",)})
    settings = Settings(replications=8, hours=HOURS)
    answer = ask(question, {"": line}, settings, file=kept)
    again = answer_from_file(kept)[1]
    assert again.tables == answer.tables
    assert answer.found.points[0].reams_per_week.doubt > 0


def test_a_line_without_doubt_stands_beside_one_with_doubt() -> None:
    doubted, known = _line(), without_doubt(_line())
    for scenarios in ({"a": doubted, "b": known}, {"a": known, "b": doubted}):
        answer = ask(Question("compare", {}), scenarios, Settings(replications=8, hours=HOURS))
        by_name = {row.name: row.reams_per_week for row in answer.found.rows}
        with_doubt = "a" if scenarios["a"] is doubted else "b"
        assert by_name[with_doubt].doubt > 0
        assert by_name["b" if with_doubt == "a" else "a"].doubt == 0


def test_plants_may_leave_a_station_next_to_nothing() -> None:
    """In some of them it is down by the clock for longer than it is between: no rate is left."""
    stop = {
        "cause": "odd",
        "station": "wrapper",
        "every_clock_h": {"law": "exponential", "mean": 1},
        "restore_min": {"law": "lognormal", "mean": 50, "sd": 20},
        "doubt": [
            {"of": "every_clock_h", "between": [0.3, 3.0]},
            {"of": "restore_min", "between": [10.0, 200.0]},
        ],
    }
    found = replicate(check_mapping({"stop": [stop]}), hours=HOURS, replications=10)
    assert found.measure("good_reams_per_hour").doubt > 0
