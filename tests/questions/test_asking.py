"""Questions asked as data: watched or not, stopped, and answered again from their file."""

from __future__ import annotations

import pickle
import shutil
import sqlite3
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from linesim.plant.date_order import ORDERS
from linesim.questions import STUDIES, Question, QuestionError, Study
from linesim.questions.asking import ask
from linesim.questions.from_file import answer_from_file
from linesim.report.answers import Answer, Bars, Curve, Map, answer_json
from linesim.scenario import Scenario, levers_table
from linesim.studies.progress import Progress
from linesim.studies.runner import Settings, StoppedError
from linesim.studies.study_file import StudyFileError
from tests.report.any_width import assert_fits
from tests.studies.lines import quick_line
from tests.studies.order_lines import calm_orders

SHORT = Settings(replications=4, hours=0.25, processes=1)
LEVERS = ("longer_bridge", "more_wrappers", "faster_wrapper")
LINE = quick_line(contribution_per_ream=0.4, wrapper_price=2e5).varied(
    levers={"off": ", ".join(each for each in levers_table.LEVERS if each not in LEVERS)}
)
QUICK: list[tuple[str, dict[str, Any]]] = [
    ("size-bridge", {"places": "6,20"}),
    ("size-buffers", {"places": "6:40:3"}),
    ("size-buffers", {"second": "outfeed", "grid": 2, "total_places": 40}),
    ("what-to-change", {"years": 8}),
    ("meet-target", {"reams_per_week": 200_000}),
    ("add-wrapper", {"payback_years": 2}),
    ("rank-stops", {}),
    ("plan-changes", {"cause": "wrapper jam", "every": "200,400", "change_min": 1}),
    ("what-holds", {"step_percent": 10}),
    ("vary", {"fields": ["crew.size=1,3"]}),
    ("vary", {"fields": ["crew.size=1,3", "bridge.places=10,40"]}),
    ("compare", {}),
]


def scenarios_for(study: str) -> dict[str, Scenario]:
    if STUDIES[study].several:
        return {"as it is": LINE, "more people": LINE.varied(crew={"size": 5})}
    return {"": LINE.varied(outfeed={}) if study == "size-buffers" else LINE}


def test_each_answer_so_far_rests_on_more_runs_though_they_come_in_squares() -> None:
    ends = {"of": "places", "between": [18, 23]}
    line = LINE.varied(bridge=LINE.bridge.model_dump() | {"doubt": [ends]})
    settings = replace(SHORT, replications=12)
    question = Question("vary", {"fields": ["crew.size=1,3"]})
    partials: list[Answer] = []
    last = ask(question, {"": line}, settings, partial=partials.append)
    asked = [each.facts["replications"] for each in (*partials, last)]
    # They make 8, 12 and 16 runs; 3 and 5 would make 8 again.
    assert asked == [2, 8, 12]


@pytest.mark.parametrize(("study", "options"), QUICK)
def test_an_answer_watched_is_the_answer_unwatched(study: str, options: dict[str, Any]) -> None:
    question, scenarios = Question(study, options), scenarios_for(study)
    partials: list[Answer] = []
    watched = ask(question, scenarios, SHORT, partial=partials.append)
    assert answer_json(watched) == answer_json(ask(question, scenarios, SHORT))
    assert_fits(watched)
    # A worker process sends it to the window.
    assert type(pickle.loads(pickle.dumps(watched)).found) is type(watched.found) is not None
    runs = [each.facts["replications"] for each in partials]
    # A long search says on its way what it knows, too.
    assert [each for each in dict.fromkeys(runs) if each < SHORT.replications] == [2, 3]
    assert all(each.charts for each in partials)
    assert "levels" not in {table.name for each in partials for table in each.tables}
    kinds = {
        "size-bridge": Curve,
        "size-buffers": Map if "second" in options else Curve,
        "meet-target": Curve,
        "plan-changes": Curve,
        "vary": Map if len(options.get("fields", [])) == 2 else Curve,
    }
    assert isinstance(watched.charts[0], kinds.get(study, Bars))


def test_stations_go_by_the_names_that_their_scenario_gives_them() -> None:
    packers = [{"name": name, "rate_cartons_per_min": 0.5} for name in ("left", "right")]
    line = LINE.varied(wrapper=[{"name": "old wrapper"}], carton_packer=packers)
    held = ask(Question("what-holds"), {"": line}, replace(SHORT, replications=2))
    names = [row[0] for row in held.tables[0].rows]
    assert names == ["sheeter", "transfer", "old wrapper", "carton packers"]
    both = {"a": line, "b": line.varied(crew={"size": 5})}
    compared = ask(Question("compare"), both, replace(SHORT, replications=2))
    assert [row[-1] for row in compared.tables[0].rows] == ["carton packers"] * 2


@pytest.mark.parametrize(
    ("question", "narrow", "sure"),
    [
        (Question("vary", {"fields": ["crew.size=1,2"]}), None, True),
        (Question("vary", {"fields": ["crew.size=1,2"]}), 0.2, False),
        (Question("what-holds"), None, True),
        (Question("size-bridge", {"places": "6,20"}), None, False),
    ],
)
@pytest.mark.parametrize("watched", [True, False])
def test_a_number_of_runs_once_said_holds(
    question: Question, narrow: float | None, sure: bool, watched: bool
) -> None:
    said: list[Progress] = []
    partial = (lambda _: None) if watched else None
    settings = replace(SHORT, replications=4, most=12, narrow=narrow)
    ask(question, {"": LINE}, settings, progress=said.append, partial=partial)
    totals = [each.asked for each in said]
    assert totals == sorted(totals)
    assert said[-1].at_least is not sure
    held = {each.asked for each in said if not each.at_least}
    assert held <= {totals[-1]}
    assert [each.at_least for each in said] == sorted(
        (each.at_least for each in said), reverse=True
    )


def test_progress_speaks_of_the_whole_study_from_the_start() -> None:
    said: list[Progress] = []
    ask(
        Question("vary", {"fields": ["crew.size=1,3"]}),
        {"": LINE},
        SHORT,
        progress=said.append,
        partial=lambda _: None,
    )
    # 2 variants (one of them is the line as it is), 4 runs of each.
    assert {each.asked for each in said} == {8}
    assert [each.done for each in said] == sorted(each.done for each in said)
    assert said[-1].done == 8


def test_progress_of_runs_in_squares_speaks_of_those_that_will_be_made() -> None:
    said: list[Progress] = []
    ends = {"of": "places", "between": [18, 23]}
    line = LINE.varied(bridge=LINE.bridge.model_dump() | {"doubt": [ends]})
    ask(
        Question("vary", {"fields": ["crew.size=1,3"]}),
        {"": line},
        replace(SHORT, replications=12),
        progress=said.append,
        partial=lambda _: None,
    )
    assert {each.asked for each in said} == {said[-1].done}


def after(count: int) -> Callable[[], bool]:
    """Says stop when asked for the ``count``-th time."""
    asked = iter(range(1, 10_000))
    return lambda: next(asked) >= count


@pytest.mark.parametrize("watch", [None, lambda _: None])
def test_a_stopped_study_says_what_it_has_and_goes_on_later(
    tmp_path: Path, watch: Callable[[Answer], None] | None
) -> None:
    question = Question("vary", {"fields": ["crew.size=1,3"]})
    path = tmp_path / "kept.sqlite"
    cut = ask(question, {"": LINE}, SHORT, file=path, stop=after(6), partial=watch)
    assert cut.facts["stopped_early"] is True
    assert "Stopped early" in cut.notes[-1]
    assert cut.facts["replications"] == cut.found.runs
    scenario, told = answer_from_file(path)
    assert scenario == LINE
    assert answer_json(told) == answer_json(cut)
    from_file: list[int] = []
    whole = ask(
        question, {"": LINE}, SHORT, file=path, progress=lambda p: from_file.append(p.from_file)
    )
    assert from_file[-1] >= 4
    assert answer_json(whole) == answer_json(ask(question, {"": LINE}, SHORT))


def test_stopped_at_once_nothing_can_be_said(tmp_path: Path) -> None:
    path = tmp_path / "kept.sqlite"
    with pytest.raises(StoppedError):
        ask(Question("rank-stops"), {"": LINE}, SHORT, file=path, stop=lambda: True)
    with pytest.raises(StudyFileError, match="nothing can be said yet"):
        answer_from_file(path)


@pytest.mark.parametrize(
    ("study", "long_run"), [("size-bridge", False), ("compare", False), ("compare", True)]
)
def test_a_file_answers_as_it_was_asked(tmp_path: Path, study: str, long_run: bool) -> None:
    options = {"places": "6,20"} if study == "size-bridge" else {}
    path = tmp_path / "kept.sqlite"
    settings = Settings(replications=2, hours=0.5, seed=4, processes=1)
    scenarios = scenarios_for(study)
    asked = ask(Question(study, options), scenarios, settings, file=path, long_run=long_run)
    scenario, told = answer_from_file(path)
    assert scenario == LINE
    assert answer_json(told) == answer_json(asked)


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("kept") / "kept.sqlite"
    settings = Settings(replications=2, hours=1.0, processes=1)
    ask(Question("vary", {"fields": ["crew.size=3"]}), {"": LINE}, settings, file=path)
    return path


def spoil(path: Path, name: str, value: str) -> None:
    with sqlite3.connect(path) as db:
        db.execute("UPDATE about SET value = ? WHERE name = ?", (value, name))
    db.close()


@pytest.mark.parametrize(
    ("name", "value", "said"),
    [
        ("question", "{", "question cannot be read"),
        ("question", '{"study": "no such", "options": {}, "long_run": false}', "none of linesim's"),
        ("question", '{"study": "vary", "options": {"x": 1}, "long_run": false}', "none of"),
        ("settings", '{"replications": 1}', "settings cannot be read"),
        ("settings", '{"replications": 1000000000000}', "settings cannot be read"),
        ("scenario_texts", '[["", "[crew]\\nsize = -1"]]', "size"),
        ("scenario_texts", '[["", ""]]', "of another scenario"),
        ("scenario_texts", "7", "scenarios cannot be read"),
        ("program", "other", "another version"),
    ],
)
def test_a_damaged_file_is_refused_in_words(
    tmp_path: Path, kept: Path, name: str, value: str, said: str
) -> None:
    path = shutil.copy(kept, tmp_path / "damaged.sqlite")
    spoil(path, name, value)
    with pytest.raises(StudyFileError, match=said):
        answer_from_file(path)


def test_no_file_is_made_by_asking_for_what_is_in_it(tmp_path: Path) -> None:
    with pytest.raises(StudyFileError, match="no study in it"):
        answer_from_file(tmp_path / "none")
    assert not (tmp_path / "none").exists()


def test_what_cannot_be_asked_is_said() -> None:
    with pytest.raises(ValueError, match="there is no study 'no such'"):
        Question("no such")
    with pytest.raises(ValueError, match="step_percent"):
        Question("what-holds", {"step_percent": 0})
    with pytest.raises(QuestionError, match="fewer than the 5 reams of one set"):
        ask(Question("size-bridge", {"places": "1:9:3"}), {"": LINE}, SHORT)
    with pytest.raises(QuestionError, match="400 places are a bridge of 132 m, and there is room"):
        ask(Question("size-bridge", {"places": "20,400"}), {"": LINE}, SHORT)
    with pytest.raises(QuestionError, match="20 places alone make no curve"):
        ask(Question("size-bridge", {"places": "20"}), {"": LINE}, SHORT)
    with pytest.raises(QuestionError, match=r"demand_percent: prices are doubted in the scenario"):
        Question("add-wrapper", {"demand_percent": 10})
    with pytest.raises(QuestionError, match="two or more"):
        ask(Question("compare"), {"": LINE}, SHORT)


@pytest.mark.parametrize("study", STUDIES.values(), ids=lambda study: study.name)
def test_a_study_says_all_that_a_page_a_command_and_a_report_need(study: Study) -> None:
    for text in (study.title, study.group, study.question, study.description, study.example):
        assert text
    assert study.question.endswith("?")
    # As a command prints it, with a full stop of its own.
    assert not study.title.endswith(".")
    for name, each in study.options.declared().items():
        assert each.title, name
        assert each.help.endswith("."), name
        numeric = each.kind in (int, float)
        assert numeric is (each.least is not None and each.most is not None), name
        assert each.kind in (bool, int, float, str, tuple), name


def test_the_orders_of_dates_are_those_that_can_be_read() -> None:
    assert STUDIES["validate"].options.declared()["dates"].choices == tuple(ORDERS)


def test_an_option_has_a_label_in_the_form_and_a_flag_in_the_command() -> None:
    study = STUDIES["meet-target"]
    assert study.label_of("reams_per_week") == "Good reams a week"
    assert study.flag_of("reams_per_week") == "--reams-per-week"
    assert (study.label_of("long_run"), study.flag_of("long_run")) == ("long run", "--long-run")


@pytest.mark.parametrize(
    ("study", "said"), [("vary", True), ("plan-orders", False), ("add-wrapper", False)]
)
def test_where_orders_run_out_an_answer_in_reams_a_week_says_so_first(
    study: str, said: bool
) -> None:
    """400 reams three times at 60 a minute at most: made long before two hours end."""
    options = {"fields": ["crew.size=3,5"]} if study == "vary" else {}
    for hours, out in ((2.0, said), (0.25, False)):
        settings = replace(SHORT, hours=hours, replications=2)
        answer = ask(Question(study, options), {"": calm_orders()}, settings)
        assert answer.words[0].startswith("The orders run out: all are made before") == out


def test_where_orders_run_out_it_is_no_finding_that_nothing_changes() -> None:
    lines = {"one": calm_orders(), "other": calm_orders(crew={"size": 5})}
    settings = replace(SHORT, hours=2.0, replications=2)
    told = " ".join(ask(Question("compare", {}), lines, settings).words)
    assert "cannot show here: all orders are made either way" in told
    assert "every run gave the same" not in told


def test_where_orders_run_out_nothing_is_advised() -> None:
    """The first page of a report has that sentence: not which line makes most where none could."""
    settings = replace(SHORT, hours=2.0, replications=2)
    answer = ask(Question("compare", {}), {"a": calm_orders(), "b": calm_orders()}, settings)
    assert answer.advised.sentence.startswith("The orders run out")


def test_lines_compared_go_by_their_own_names_unless_two_have_one() -> None:
    def named(**lines: Scenario) -> list[object]:
        answer = ask(Question("compare"), lines, replace(SHORT, replications=2))
        return [row[0] for row in answer.tables[0].rows]

    other = LINE.varied(line={"name": "long bridge"})
    assert named(a=LINE, b=other) == [LINE.line.name, "long bridge"]
    assert named(a=LINE, b=LINE) == ["a", "b"]
