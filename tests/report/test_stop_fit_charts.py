"""Pictures of a fitted cause say what the fit says, and are drawings that open by themselves."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from linesim.plant.causes_matched import match_causes
from linesim.plant.fitting import CauseFit, Fitter
from linesim.plant.running_meter import Planned
from linesim.plant.stop_log import CleanStop
from linesim.report.answers import Answer, Scatter, answer_json
from linesim.report.answers.stop_fit_charts import fit_charts, log_ticks, trend_sentence
from linesim.report.page.picture_files import write_fit_pictures
from linesim.report.page.study_charts import chart_caption, chart_drawing

BEGAN = dt.datetime(2026, 3, 2, 6)


def fitted(moments, cause: str = "a < b jam") -> CauseFit:
    stops = [
        CleanStop(n, start, start + dt.timedelta(minutes=2 + n % 5), "wrapper", cause)
        for n, start in enumerate(BEGAN + dt.timedelta(hours=float(h)) for h in moments)
    ]
    planned = [Planned(BEGAN, BEGAN + dt.timedelta(hours=100))]
    fitter = Fitter(match_causes(stops), planned, resamples=20)
    return fitter.fit(fitter.causes[0])


@pytest.fixture(scope="module")
def steady() -> CauseFit:
    return fitted(np.sort(np.random.default_rng(1).random(40)) * 99)


def test_intervals_stand_where_they_ended_and_the_last_is_cut_off(steady: CauseFit) -> None:
    over_time, intervals, restores = fit_charts(steady)
    assert [chart.name for chart in (over_time, intervals, restores)] == [
        *("over-time", "intervals", "restores")
    ]
    assert len(over_time.points) == 40
    xs = [x for x, _ in over_time.points]
    values = [10**y for _, y in over_time.points]
    assert np.diff([0, *xs]) == pytest.approx(values, rel=0.2, abs=0.01)
    ((end, rest),) = over_time.cut_off
    assert end == pytest.approx(steady.meter.total)
    assert 10**rest == pytest.approx(end - xs[-1])
    assert 10 ** over_time.line[0][1] == pytest.approx(steady.interval.mean)
    low, high = steady.interval.intervals["mean"]
    assert sorted({round(10**y, 9) for _, y in over_time.band}) == pytest.approx([low, high])
    assert len(over_time.thin) == 31
    assert over_time.caption.startswith("No change over time is shown (Laplace test, u = ")
    # On its own paper the law passes through the share that it gives.
    (x0, y0), (x1, y1) = intervals.line
    assert intervals.caption == f"An exponential law, 40 values: {steady.interval.goodness}."
    assert (y1 - y0) / (x1 - x0) == pytest.approx(1 / steady.interval.mean)
    assert {tick.text for tick in intervals.y_ticks} >= {"50", "90"}
    assert restores.x.unit == "min"


def test_a_trend_and_too_few_are_said() -> None:
    worse = fitted(100 * (np.arange(1, 41) / 41) ** 0.4)
    assert "more often as time goes on" in trend_sentence(worse, True)
    assert trend_sentence(worse, False).startswith("A change by itself")
    few = fitted([30, 70])
    (only,) = fit_charts(few)
    assert only.caption == "Fewer than 10 stops: no trend can be tested."


def test_drawings_files_and_data(steady: CauseFit, tmp_path: Path) -> None:
    other = fitted([10, 20, 35], "A<B jam")
    written = write_fit_pictures(tmp_path / "pictures", [steady, other])
    assert len(written) == len(set(written)) == 12
    first = written[1].read_bytes()
    assert first.startswith(b"%PDF-")
    assert write_fit_pictures(tmp_path / "again", [steady])[1].read_bytes() == first
    for path in written[::2]:
        root = ElementTree.fromstring(path.read_text(encoding="utf-8"))
        assert "jam" in " ".join(root.itertext())
        assert len(list(root.iter("{http://www.w3.org/2000/svg}circle"))) > 3
    charts = fit_charts(steady)
    for chart in charts:
        assert isinstance(chart, Scatter)
        drawing = chart_drawing(chart)
        assert drawing.title == chart.title
        assert chart_caption(chart) == chart.caption
    data = json.loads(answer_json(Answer("fit-stops", "x", (), (), charts=charts)))
    drawn = data["charts"]["over-time"]["drawn"]
    assert len(drawn["points"]["places"]) == 40


def test_ticks_of_a_logarithmic_axis() -> None:
    assert [tick.text for tick in log_ticks(0.3, 1e7)][:3] == ["1", "10", "100"]
    assert [tick.text for tick in log_ticks(3.2, 4.1)] == ["3.2", "3.4", "3.6", "3.8", "4"]
    assert [tick.text for tick in log_ticks(2.1, 4.9)] == ["3", "4"]
