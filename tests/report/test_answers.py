"""Answers for people and for programs."""

import json
from dataclasses import replace

import pytest

from linesim.report.answers import (
    Answer,
    AnswerTable,
    Bounded,
    Column,
    Curve,
    Figure,
    answer_json,
    write_answer_csv,
)
from linesim.report.answers.add_wrapper import add_wrapper_answer
from linesim.report.answers.cells import cell_of, cell_text, written_bounded
from linesim.report.answers.printing import answer_text
from linesim.report.answers.size_bridge import bridge_charts, bridge_words
from linesim.report.answers.vary import vary_answer, vary_charts
from linesim.statistics import exact_proportion
from linesim.studies.add_wrapper import add_wrapper
from linesim.studies.runner import Runner, Settings
from linesim.studies.size_bridge import size_bridge
from linesim.studies.vary import read_span, vary
from tests.studies.lines import quick_line


def test_a_difference_not_shown_is_marked() -> None:
    assert cell_text(Figure(120.0, 300.0, False)) == "~ 120 ± 300"
    assert cell_text(Figure(620.0, 80.0)) == "620 ± 80"
    assert cell_text(None) == "-"


def test_a_table_longer_than_anybody_reads_says_how_much_more_there_is() -> None:
    rows = tuple((f"row {n}", n) for n in range(20_000))
    table = AnswerTable("t", "T", (Column("what"), Column("n")), rows)
    printed = answer_text(Answer("s", "line", (), (table,)))
    assert "row 499 " in printed
    assert "row 500 " not in printed
    assert "(19,500 more rows; --csv FOLDER and --json FILE hold all of them)" in printed


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
    first, knee, *others = bridge_words(line, found, None)
    assert first.startswith(
        "“quick”: by what each brings beyond what it costs no other size tried is better than"
    )
    assert knee.startswith("Beyond 6 places (1.98 m) a further place earns less than what")
    words = " ".join([first, knee, *others])
    assert "No further place is shown to earn more." in words
    assert "every restart costs rejects" not in words  # this line rejects none
    assert "restarted by level" in words


def test_places_that_pay_behind_some_that_do_not_are_named() -> None:
    with Runner(Settings(replications=2, hours=1, processes=1)) as runner:
        found = size_bridge(quick_line(), runner, [6, 10, 20, 30, 60])
    judged = zip(found.steps, (False, True, True, False), strict=True)
    steps = tuple(replace(step, pays=pays, more_runs=0) for step, pays in judged)
    found = replace(found, steps=steps, pays_up_to=None, fails_beyond=30)
    words = bridge_words(quick_line(), found, None)[1]
    assert words.endswith("From 10 to 30 places a further place is shown to earn more.")


def test_the_first_chart_of_the_bridge_is_what_decides() -> None:
    line = quick_line()
    with Runner(Settings(replications=3, hours=4, processes=1)) as runner:
        found = size_bridge(line, runner, [6, line.bridge_places, 60])
    gain, output, *_ = bridge_charts(found)
    assert isinstance(gain, Curve)
    assert gain.of == "paired difference, same random numbers"
    assert gain.present == line.bridge_places
    for point, size in zip(gain.points, found.points, strict=True):
        assert point.figure is not None
        assert point.figure.mean == size.sized.gain.interval.mean
        assert point.figure.half_width == size.sized.gain.interval.half_width
    assert [p.figure.mean for p in gain.points if p.x == gain.present and p.figure] == [0]
    # What was found is in it: where more than the cost is shown to come back, and the best.
    assert gain.gain == "as it is now"
    assert gain.best == found.best.best.places[0]
    paying = [float(each.places) for each in found.points if each.sized.net.low > 0]
    assert [any(a <= x <= b for a, b in gain.pays) for x in paying] == [True] * len(paying)
    assert {end for span in gain.pays for end in span} <= set(paying)
    # The present bridge is run whether it was asked for or not.
    with Runner(Settings(replications=2, hours=1, processes=1)) as runner:
        charts = bridge_charts(size_bridge(line, runner, [6, 60]))
    assert [point.x for point in charts[0].points] == [6, line.bridge_places, 60]
    assert output.name == "output"


def test_a_figure_with_two_ends_is_as_fine_as_its_interval() -> None:
    assert written_bounded(Bounded(31.234, 30.51, 32.96)) == "31.2 (30.5–33.0)"
    assert written_bounded(Bounded(15450.0, 13200.0, None)) == "15,500 (13,200 or more)"
    assert written_bounded(Bounded(0.0, 0.0, 16.84)) == "0 (0–17)"
    assert written_bounded(Bounded(20.0, 20.0, 24.0)) == "20 (20–24)"
    assert written_bounded(Bounded(7.0, 7.0, 7.0)) == "7 (7–7)"
    assert written_bounded(Bounded(None, 60.25, None)) == "beyond the runs (60.3 or more)"
    assert written_bounded(Bounded(9.8386, None, None)) == "9.8 (too few runs for an interval)"
    assert written_bounded(Bounded(5432.5, None, None)) == "5,433 (too few runs for an interval)"
    assert written_bounded(Bounded(5320.0, None, 5520.0)) == "5,320 (up to 5,520)"
    assert written_bounded(Bounded(None, None, None)) == "not within the runs"


def test_a_figure_with_two_ends_takes_three_columns_of_a_file(tmp_path) -> None:
    table = AnswerTable(
        "orders",
        "Orders",
        (Column("order"), Column("done", "h"), Column("place")),
        (("A4", Bounded(31.2, 30.5, None), 1), ("A3", None, 2)),
    )
    answer = Answer("plan-orders", "line", ("words",), (table,))
    write_answer_csv(tmp_path, answer)
    lines = (tmp_path / "orders.csv").read_text("utf-8").splitlines()
    assert lines[0] == "order,done [h],done [h] low,done [h] high,place"
    assert lines[1:] == ["A4,31.2,30.5,,1", "A3,,,,2"]
    rows = json.loads(answer_json(answer))["tables"]["orders"]["rows"]
    assert rows[0]["done"] == {"value": 31.2, "low": 30.5, "high": None}


def test_what_tells_values_of_a_field_apart_is_drawn_paired() -> None:
    line = quick_line()
    with Runner(Settings(replications=3, hours=2, processes=1)) as runner:
        found = vary(line, runner, [read_span(line, "bridge.places=6,20,60")])
    # People read what the form calls the field, files the name that it has in a scenario.
    answer = vary_answer(line, found)
    assert f"“bridge: places” at {found.best.values[0]:g} reams makes most" in answer.words[0]
    assert answer.tables[0].columns[0].heading == "bridge: places, reams"
    assert answer.tables[0].header[0] == "bridge.places [reams]"
    gain, _, short, *_ = vary_charts(found)
    assert gain.x.label == "bridge: places"
    assert isinstance(gain, Curve)
    assert isinstance(short, Curve)
    assert (gain.best, gain.present) == (found.best.values[0], line.bridge_places)
    # A gain on the line as it is and what is missing to the best make up what the best brings.
    assert found.present is not None
    for most, less in zip(gain.points, short.points, strict=True):
        assert most.figure is not None
        assert less.figure is not None
        brings = most.figure.mean + less.figure.mean
        assert brings == pytest.approx(found.present.interval.mean)
    for point, drawn in zip(found.points, short.points, strict=True):
        assert drawn.figure is not None
        if point.against_best is None:
            assert drawn.figure == Figure(0, 0)
        else:
            paired = point.against_best.interval
            assert drawn.figure[:2] == (paired.mean, paired.half_width)


def test_the_value_that_the_line_has_is_a_point_of_the_curve() -> None:
    line = quick_line()
    with Runner(Settings(replications=3, hours=2, processes=1)) as runner:
        found = vary(line, runner, [read_span(line, "bridge.places=60,6")])
        assert runner.made == 3 * 3
    assert [point.values for point in found.points] == [(60,), (line.bridge_places,), (6,)]
    gain = vary_charts(found)[0]
    assert isinstance(gain, Curve)
    (now,) = (p.figure for p in gain.points if p.x == line.bridge_places)
    assert now is not None
    assert now[:2] == (0, 0)


def test_where_every_place_pays_one_sentence_says_so() -> None:
    line = quick_line()
    with Runner(Settings(replications=2, hours=1, processes=1)) as runner:
        found = size_bridge(line, runner, [6, line.bridge_places, 60])
    found = replace(found, pays_up_to=60, fails_beyond=None)
    assert bridge_words(line, found, None)[1].startswith(
        "Up to 60 places (19.8 m), the most tried, each further place is shown to earn more than"
    )


def test_without_prices_nothing_is_noted_of_money() -> None:
    for prices, noted in (({}, False), ({"contribution_per_ream": 0.4}, True)):
        line = quick_line(**prices).varied(money={**prices, "wrapper_price": 9e5})
        with Runner(Settings(replications=2, hours=1, processes=1)) as runner:
            notes = " ".join(add_wrapper_answer(line, add_wrapper(line, runner)).notes)
        assert ("Money a year" in notes) is noted
        assert ("paid back" in notes) is noted


def test_values_that_were_set_stand_with_their_thousands_apart() -> None:
    line = quick_line()
    with Runner(Settings(replications=2, hours=0.5, processes=1)) as runner:
        found = vary(line, runner, [read_span(line, "wrapper.wrapper.roll_length_m=15000")])
    # No roll is changed in so short a time: the first words say that nothing tells them apart.
    first = vary_answer(line, found).words[0]
    assert "3,000 m" in first
    assert "; no difference is shown between it and 15,000" in first


def test_written_figures_have_their_thousands_apart_for_people_alone() -> None:
    mean = Column("mean", "h", figures=True)
    table = AnswerTable("t", "T", (Column("cause"), mean), (("1200", "1200"),))
    assert [c.text(v) for c, v in zip(table.columns, table.rows[0], strict=True)] == [
        "1200",
        "1,200",
    ]
    assert '"1200"' in answer_json(Answer("s", "line", (), (table,)))


@pytest.mark.parametrize(
    ("late", "runs", "said"),
    [(1, 4, "25 (0–80)"), (3, 4, "75 (20–100)"), (123, 1000, "12.3 (10.3–14.5)")],
)
def test_a_share_of_runs_is_what_was_counted(late: int, runs: int, said: str) -> None:
    assert cell_text(cell_of(exact_proportion(late, runs), "%")) == said
