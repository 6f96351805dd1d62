"""Runs for a study: the same whoever makes them, resumed, stopped cleanly."""

from collections.abc import Callable, Iterator
from concurrent.futures import Executor, Future, ProcessPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from typing import ParamSpec, TypeVar

import pytest

from linesim.statistics import student_interval
from linesim.studies.cluster import ClusterError
from linesim.studies.executors import InThisProcess
from linesim.studies.run_spec import OtherProgramError, RunSpec, make_run, scenario_digest, spec_of
from linesim.studies.runner import Runner, Settings, StoppedError
from linesim.studies.study_file import StudyFile
from tests.studies.lines import quick_line, textbook_line

P = ParamSpec("P")
T = TypeVar("T")

LINE = quick_line()
SHORT = Settings(replications=3, hours=2.0, processes=1)


class Stopping(InThisProcess):
    """Somebody presses Ctrl-C after some runs."""

    def __init__(self, after: int) -> None:
        self.left = after

    def submit(self, fn: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> Future[T]:
        if self.left == 0:
            raise KeyboardInterrupt
        self.left -= 1
        return super().submit(fn, *args, **kwargs)


def specs() -> list[RunSpec]:
    return [spec_of(LINE, seed=3, replication=n, hours=1.5) for n in range(3)]


def test_names_and_money_do_not_make_another_scenario() -> None:
    renamed = LINE.varied(line={"name": "other"}, money={"contribution_per_ream": 2.0})
    assert scenario_digest(renamed) == scenario_digest(LINE)
    assert scenario_digest(LINE.varied(crew={"size": 9})) != scenario_digest(LINE)


def test_processes_give_the_same_bytes() -> None:
    here = [make_run(spec) for spec in specs()]
    with ProcessPoolExecutor(2) as pool:
        assert list(pool.map(make_run, specs())) == here


def test_runs_asked_for_a_few_at_a_time_get_processes_once_they_are_worth_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    opened: list[int] = []

    @contextmanager
    def executor(processes: int, cluster: str | None) -> Iterator[tuple[Executor, int]]:
        opened.append(processes)
        yield InThisProcess(), 1

    monkeypatch.setattr("linesim.studies.runner.executor_for", executor)
    monkeypatch.setattr(
        "linesim.studies.runner.processes_for", lambda hours: 2 if hours > 9.0 else 1
    )
    with Runner(Settings(replications=2, hours=2.0)) as runner:
        for number in range(4):  # four hours each
            runner.outcomes({"line": LINE.varied(crew={"size": 3 + number})})
    assert opened == [1, 2]


def test_a_cluster_that_is_not_there_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("distributed")
    monkeypatch.setattr("linesim.studies.cluster._PATIENCE_AT_THE_START_S", 0.5)
    with (
        pytest.raises(ClusterError, match="no scheduler answers"),
        Runner(Settings(replications=2, hours=1.0, cluster="tcp://127.0.0.1:9")) as runner,
    ):
        runner.outcomes({"line": LINE})


def test_a_worker_of_another_version_is_refused() -> None:
    with pytest.raises(OtherProgramError):
        make_run(RunSpec("{}", 1, 0, 1.0, program="older"))


def test_a_second_study_takes_what_the_first_kept(tmp_path: Path) -> None:
    def study() -> tuple[list[str], int, int]:
        with (
            StudyFile(tmp_path / "a", scenario="s", name="n", program="p") as file,
            Runner(SHORT, file=file) as runner,
        ):
            rows = runner.outcomes({"line": LINE})["line"]
            return [row.text() for row in rows], runner.made, runner.from_file

    first, made, _ = study()
    again, made_again, taken = study()
    assert (made, made_again, taken) == (3, 0, 3)
    assert again == first


def test_stopped_it_gives_whole_pairs_and_goes_on_from_there(tmp_path: Path) -> None:
    lines = {"a": LINE, "b": LINE.varied(crew={"size": 1})}
    with StudyFile(tmp_path / "a", scenario="s", name="n", program="p") as file:
        with Runner(SHORT, file=file, executor=Stopping(5)) as runner:
            rows = runner.outcomes(lines)
            assert runner.interrupted
            assert [len(each) for each in rows.values()] == [2, 2]
        with Runner(SHORT, file=file) as runner:
            whole = runner.outcomes(lines)
            assert (runner.made, runner.from_file) == (1, 5)
    assert whole["a"][:2] == rows["a"]


def test_stopped_too_early_nothing_is_concluded() -> None:
    with pytest.raises(StoppedError), Runner(SHORT, executor=Stopping(1)) as runner:
        runner.outcomes({"line": LINE})


def test_runs_are_added_until_the_interval_is_narrow() -> None:
    settings = Settings(replications=3, hours=2.0, narrow=0.05, most=60, processes=1)
    with Runner(settings) as runner:
        rows = runner.outcomes({"line": textbook_line(10)})["line"]
    assert len(rows) > 3
    assert student_interval([row.good_reams for row in rows]).relative_half_width <= 0.05


def test_a_budget_ends_the_search_for_a_narrow_interval() -> None:
    settings = Settings(replications=3, hours=1.0, narrow=1e-9, most=6, processes=1)
    with Runner(settings) as runner:
        assert len(runner.outcomes({"line": LINE})["line"]) == 6


def test_a_single_run_makes_no_study() -> None:
    with pytest.raises(ValueError, match="2 runs or more"):
        Settings(replications=1)
