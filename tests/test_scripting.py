"""What a user of Python calls, and what results offer."""

from __future__ import annotations

import inspect
import math
from pathlib import Path

import matplotlib
import numpy as np
import pandas
import polars
import pytest
from matplotlib import pyplot

import linesim
from linesim.interactive import NoFrameLibraryError, frame
from linesim.questions import STUDIES

matplotlib.use("Agg")
RUNS = {"hours": 1.0, "replications": 2, "processes": 1}


@pytest.fixture(scope="module")
def line() -> linesim.Scenario:
    return linesim.load("short-bridge")


@pytest.fixture(scope="module")
def record(line: linesim.Scenario) -> linesim.Record:
    return linesim.simulate(line, hours=0.5)


def test_a_line_that_is_saved_is_loaded_as_it_was(line: linesim.Scenario, tmp_path: Path) -> None:
    linesim.save(line, tmp_path / "line.toml")
    assert linesim.load(tmp_path / "line.toml") == line


def test_a_text_or_a_mapping_is_checked() -> None:
    assert linesim.check("[slitter]\nlanes = 4\n") == linesim.check({"slitter": {"lanes": 4}})
    with pytest.raises(linesim.ScenarioFaults, match="lanes"):
        linesim.check({"slitter": {"lanes": 0}})


@pytest.mark.parametrize("name", STUDIES)
def test_every_study_can_be_called_and_says_its_options(name: str) -> None:
    study = getattr(linesim, name.replace("-", "_"))
    declared = STUDIES[name].options.declared()
    assert set(declared) <= set(inspect.signature(study).parameters)
    assert all(option.help in study.__doc__ for option in declared.values())


def test_a_study_gives_what_its_command_gives(line: linesim.Scenario) -> None:
    answer = linesim.what_holds(line, step_percent=4, **RUNS)
    asked = linesim.questions.ask(
        linesim.questions.Question("what-holds", {"step_percent": 4}),
        {line.line.name: line},
        linesim.studies.Settings(**RUNS),
    )
    assert linesim.report.answer_json(answer) == linesim.report.answer_json(asked)


def test_lines_of_one_name_are_told_apart(line: linesim.Scenario) -> None:
    answer = linesim.compare(line, line.varied(bridge={"places": 40}), **RUNS)
    assert answer.scenario == "1 short bridge, 2 short bridge"


def test_an_option_that_is_none_is_refused(line: linesim.Scenario) -> None:
    with pytest.raises(ValueError, match="steps"):
        linesim.what_holds(line, steps=4)


def test_spans_of_a_frame_add_up(record: linesim.Record) -> None:
    spans = record.to_frame("spans")
    assert isinstance(spans, pandas.DataFrame)
    hours = (spans["end_s"] - spans["start_s"]).groupby(spans["station"]).sum() / 3600
    assert hours.to_numpy() == pytest.approx(np.full(len(record.stations), 0.5), abs=1e-9)
    assert set(spans["state"]) <= {state.words for state in linesim.State}


def test_every_reams_row_is_a_ream(record: linesim.Record) -> None:
    reams = record.to_frame("reams", "polars")
    assert isinstance(reams, polars.DataFrame)
    assert len(reams) == record.wrapped_by[0]
    assert reams["ream"].to_list() == list(range(1, len(reams) + 1))


def test_arrow_has_the_types_that_parquet_keeps(record: linesim.Record, tmp_path: Path) -> None:
    import pyarrow
    from pyarrow import parquet

    table = record.to_frame("bridge_level", "pyarrow")
    parquet.write_table(table, tmp_path / "level.parquet")
    read = parquet.read_table(tmp_path / "level.parquet")
    assert read.equals(table)
    assert read.schema.field("from_s").type == pyarrow.float64()


def test_without_a_library_it_is_said_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    def none(name: str) -> None:
        raise ImportError(name)

    monkeypatch.setattr("linesim.interactive.import_module", none)
    with pytest.raises(NoFrameLibraryError, match="pip install pandas"):
        frame({"a": [1]})
    with pytest.raises(ValueError, match="right would be one of pandas, polars, pyarrow"):
        frame({"a": [1]}, "abacus")


def test_the_mean_of_a_frame_is_the_mean_told(line: linesim.Scenario) -> None:
    runs = linesim.replicate(line, replications=3, hours=1.0)
    column = runs.to_frame()["good_reams_per_hour"]
    told = runs.measure("good_reams_per_hour")
    assert column.mean() == pytest.approx(told.mean)
    # 4.303 is Student's t for 2 degrees of freedom, 95 %, from the usual table.
    assert 4.303 * column.std() / math.sqrt(3) == pytest.approx(told.half_width, rel=1e-3)


def test_figures_keep_their_intervals_in_a_frame(line: linesim.Scenario) -> None:
    answer = linesim.size_bridge(line, places="14,21", levels=False, **RUNS)
    table = answer.to_frame()
    assert list(table["places"]) == [14, 21]
    assert (table["good reams half width"] > 0).all()
    assert str(answer.table().rows[0][0]) in answer._repr_html_()


def test_texts_are_escaped_in_a_notebook(line: linesim.Scenario) -> None:
    named = line.varied(line={"name": "<b>"})
    shown = linesim.replicate(named, replications=2, hours=0.2)._repr_html_()
    assert "&lt;b&gt;" in shown
    assert "<b>" not in shown


@pytest.mark.parametrize("study", ["what_holds", "rank_stops", "vary"])
def test_every_chart_is_drawn(line: linesim.Scenario, study: str) -> None:
    options = {
        "vary": {"fields": ("bridge.places=14:40:2", "cutter.web_speed_m_per_min=250:270:2")}
    }
    answer = getattr(linesim, study)(line, **RUNS, **options.get(study, {}))
    assert answer.charts
    for chart in answer.charts:
        axes = answer.plot(chart.name)
        assert axes.get_title() == chart.title
        assert axes.get_xlabel()
        axes.figure.canvas.draw()
    with pytest.raises(KeyError, match=answer.charts[0].name):
        answer.plot("none of these")
    pyplot.close("all")


def test_the_level_drawn_is_the_level_recorded(record: linesim.Record) -> None:
    axes = record.plot()
    drawn = axes.lines[0].get_ydata()
    assert max(drawn) == max(record.history.bridge_level()[1])
    pyplot.close("all")


def test_a_report_is_written_as_its_name_says(line: linesim.Scenario, tmp_path: Path) -> None:
    for name, start in (("line.html", b"<!"), ("line.pdf", b"%PDF")):
        linesim.write_report(line, tmp_path / name, hours=0.5, replications=2, processes=1)
        assert (tmp_path / name).read_bytes().startswith(start)
