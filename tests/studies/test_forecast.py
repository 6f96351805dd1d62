"""What will be made by then: times read, figures on paper, and what the answer says of itself."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

import pytest

from linesim.questions import Question, QuestionError, ask
from linesim.report.answers import Answer, Scatter
from linesim.report.answers.forecast import _reams, forecast_answer, forecast_at_a_glance
from linesim.scenario import LineState, Scenario, ScenarioFaults, find_scenario, load
from linesim.statistics import Quantile
from linesim.studies.forecast import Forecast, forecast, read_until
from linesim.studies.runner import Runner, Settings
from tests.line.calm_line import calm, stop
from tests.report.any_width import assert_fits

MOMENT = dt.datetime(2026, 3, 2, 14, 20)
SETTINGS = Settings(replications=20, processes=1)


def found(
    line: Scenario, hours: float = 1.0, runs: int = 20, level: float = 0.95, **more: Any
) -> Forecast:
    said = more.pop("state", {})
    said = {"moment": "2026-03-02 14:20", "bridge": {"reams": 0}} | said
    settings = Settings(replications=runs, processes=1, level=level)
    with Runner(settings) as runner:
        until = MOMENT + dt.timedelta(hours=hours)
        return forecast(line, runner, LineState.model_validate(said), until, **more)


@pytest.mark.parametrize(
    ("text", "until"),
    [
        ("22:00", (2, 22, 0)),
        ("6:00", (3, 6, 0)),
        ("14:20", (3, 14, 20)),
        ("+6h", (2, 20, 20)),
        ("+ 1.5", (2, 15, 50)),
        ("2026-03-04 06:00", (4, 6, 0)),
    ],
)
def test_times_are_read(text: str, until: tuple[int, int, int]) -> None:
    day, hour, minute = until
    assert read_until(text, MOMENT) == dt.datetime(2026, 3, day, hour, minute)


@pytest.mark.parametrize(
    "text",
    ["", "ten", "25:00", "+h", "-2h", "2026-03-02 14:20", "2026-03-01", "+2000h"],
)
def test_other_times_are_refused_in_words(text: str) -> None:
    with pytest.raises(ValueError, match=r"no time|not after the moment|more than 1,000 h"):
        read_until(text, MOMENT)


def reels(metres: float) -> list[dict[str, Any]]:
    return [{"web": web + 1, "left_m": metres} for web in range(5)]


def test_a_line_without_chance_makes_what_it_makes_on_paper() -> None:
    """4 m/s, 7.5 s for a set of 4, reels of 7,000 m last 1,750 s: in 20 minutes 160 sets, but for
    the one that the transfer and the wrapper still have; 1,000 made before, 30 on the bridge."""
    said = {"reams_made": 1000, "bridge": {"reams": 30}, "reel": reels(7000)}
    there = found(calm(), 1 / 3, state=said, targets=[1000, 1600, 1700])
    low, half, high = there.reams
    assert low.value is not None
    assert high.value is not None
    # What is in the pockets at the moment is drawn: up to a set.
    assert 1000 + 30 + 156 * 4 <= low.value <= half.value <= high.value <= 1000 + 30 + 160 * 4
    assert [each.chance.count for each in there.targets] == [20, 20, 0]
    # What is there already is told without a chance.
    rows = forecast_at_a_glance(there, there.state.at).rows
    assert rows[0] == "1,000: as many are made already"
    assert rows[1].startswith("1,600 by ")
    assert there.fan[0].reams[0].value == 1000
    assert there.fan[-1].reams == there.reams
    assert [point.hours for point in there.fan] == pytest.approx([0, 1 / 6, 1 / 3])
    assert there.next == ()


def test_reels_and_rolls_are_used_up_when_their_paper_is() -> None:
    """2,000 m on all webs, 600 m on the third: 150 s, then a change of ten minutes. A roll for 9
    reams with 12 waiting: nine seconds."""
    line = calm(wrapper=[{"rate_reams_per_min": 60, "roll_length_m": 1000}])
    said = {
        "bridge": {"reams": 12},
        "reel": [{"web": web, "left_m": 600 if web == 3 else 2000} for web in range(1, 6)],
        "roll": [{"wrapper": "wrapper", "reams_left": 9}],
    }
    there = found(line, 0.3, state=said)
    assert [each.what for each in there.next][:2] == ["roll of wrapper", "reel of web 3"]
    roll, reel = there.next[:2]
    assert roll.at_h[1].value == pytest.approx(9 / 3600)
    # A reel is another when the change is done.
    assert reel.at_h[1].value == pytest.approx((150 + 600) / 3600, abs=1e-4)
    assert reel.chance.count == reel.chance.n == 20


def test_orders_in_hand() -> None:
    """The first is done; of the second 60 of 100 are made, 40 lie on the bridge: 40 s. It is due
    an hour after the calendar's start, twenty minutes after the moment."""
    line = calm(
        calendar={"starts": "2026-03-02 13:40"},
        order=[
            {"name": "a", "reams": 10},
            {"name": "b", "reams": 100, "due_h": 1},
            {"name": "c", "reams": 100_000, "due_h": 3},
        ],
    )
    said = {"order": {"name": "b", "reams_made": 60}, "bridge": {"reams": 40}}
    there = found(line, 1.0, state=said)
    first, second = there.orders
    assert first.done_h[1].value == pytest.approx(40 / 3600)
    assert first.due_h == pytest.approx(1 / 3)
    assert first.in_time is not None
    assert first.in_time.count == 20
    assert second.done_h[1].value is None
    assert second.in_time is None
    assert second.by_then.count == 0


def test_the_ends_of_the_band_are_order_statistics() -> None:
    """Of 59 runs the 90 % quantile lies between the 49th and the 58th, with at least 95 %: the
    binomial has P(B < 48) = 0.014, P(B >= 58) = 0.015 (David and Nagaraja 2003, 7.1)."""
    jam = stop("wrapper", every_reams={"law": "exponential", "mean": 40})
    there = found(calm(stop=[jam]), 0.2, runs=59, state={"bridge": {"reams": 20}})
    high = there.reams[2]
    assert high.n == 59
    assert high.low is not None
    assert high.high is not None
    assert high.low <= high.value <= high.high  # type: ignore[operator]
    assert there.band == pytest.approx(0.8)


def test_a_wider_band_holds_more() -> None:
    jam = stop("wrapper", every_reams={"law": "exponential", "mean": 40})
    narrow, wide = (found(calm(stop=[jam]), 0.2, runs=40, band=band) for band in (0.5, 0.9))
    assert wide.reams[0].value < narrow.reams[0].value  # type: ignore[operator]
    assert wide.reams[1] == narrow.reams[1]


def test_what_is_not_told_is_said() -> None:
    line = load(find_scenario("full-pallets"))
    there = found(line, 0.1, runs=2, state={"reel": [{"web": 2, "left_m": 100}]})
    said = "; ".join(there.not_told)
    for words in (
        "whether the next reels are ready",
        "cartons on the pallet",
        "reel of web 1, 3, 4, 5",
        "roll of wrapper",
        "last happened",
        "how far the shift is",
    ):
        assert words in said
    assert "on the bridge" not in said


def test_what_a_state_cannot_tell_of_stands_and_trucks_is_said() -> None:
    """All spare stands are prepared then, and no reel is on its way: nobody can say otherwise."""
    spare = {"change": "standstill_splice", "spare_stands": 2}
    line = calm(unwind=spare, reel_truck={"places": 3})
    said = "; ".join(found(line, 0.1, runs=2).not_told)
    assert "whether the spare stands are prepared (taken to be)" in said
    assert "which reels are on their way or beside the line (taken to be none)" in said
    said = "; ".join(found(calm(), 0.1, runs=2).not_told)
    assert "spare" not in said
    assert "beside the line" not in said


SATURDAY = {"starts": "2026-02-23 06:00", "days_per_week": 5}


def test_on_a_day_without_a_shift_nobody_works_until_the_next() -> None:
    """Five days from Monday 23 February on: the next shift after Saturday's noon is Monday's."""
    line = calm(calendar=SATURDAY)
    closed = [{"name": f"closed {n}", "day": 6 + 60 * n, "days": 60} for n in range(7)]
    state = {"moment": "2026-02-28 12:00", "reams_made": 70}
    said = LineState.model_validate(state)
    with Runner(Settings(replications=2, processes=1)) as runner:
        there = forecast(line, runner, said, dt.datetime(2026, 2, 28, 22))
        over = forecast(line, runner, said, dt.datetime(2026, 3, 2, 7))
        never = forecast(
            calm(calendar=SATURDAY, holiday=closed),
            runner,
            said,
            dt.datetime(2026, 2, 28, 22),
        )
    assert there.nobody_h == 42
    words = forecast_answer(line, there).words
    assert words[0] == (
        "“unnamed line”: by its calendar nobody works until Mon 2 Mar 06:00, so no ream is made by"
        " 22:00; the 70 good reams made before are all there are then."
    )
    glance = forecast_at_a_glance(there, there.state.at + dt.timedelta(minutes=2))
    assert glance.between.endswith("nobody works until Mon 2 Mar 06:00")
    at = there.state.at
    assert glance.of == f"From the state of {at:%H:%M}, answered {at:%H}:02"
    first, second, *_ = forecast_answer(line, over).words
    assert " good reams in 8 of 10 cases" in first
    assert second == "By its calendar nobody works until Mon 2 Mar 06:00."
    assert "nobody works in the year to come" in forecast_answer(line, never).words[0]


def test_in_a_shift_nothing_is_said_of_it() -> None:
    line = calm(calendar=SATURDAY)
    there = found(line, 0.1, runs=2, state={"moment": "2026-02-27 14:20"})
    assert there.nobody_h == 0
    assert "nobody" not in " ".join(forecast_answer(line, there).words)


def answer(tmp_path: Any, text: str = "", **options: Any) -> Answer:
    path = tmp_path / "now.toml"
    path.write_text(text or 'moment = "2026-03-02 14:20"\n[bridge]\nreams = 40\n', "utf-8")
    question = Question("forecast", {"state": str(path), "until": "14:40"} | options)
    return ask(question, {"": calm()}, SETTINGS)


def test_the_answer_comes_first_then_its_picture(tmp_path: Any) -> None:
    there = answer(tmp_path, target="100; 90000")
    assert_fits(there)
    assert re.match(
        r"“unnamed line”: by 14:40 between [\d,]+ and [\d,]+ good reams in 8 of 10 cases",
        there.words[0],
    )
    assert there.words[1].startswith("100 by 14:40: chance 100 (83–100) %")
    assert there.words[2].startswith("90,000 by 14:40: chance 0 (0–17) %")
    fan = there.charts[0]
    assert isinstance(fan, Scatter)
    # The ends of the stretch are told, however short it is.
    assert [tick.text for tick in fan.x_ticks] == ["14:20", "14:25", "14:30", "14:35", "14:40"]
    assert [tick.at for tick in fan.x_ticks] == pytest.approx([n / 12 for n in range(5)])
    assert [at for at, *_ in fan.along] == ["14:20", "14:30", "14:40"]
    assert all(low <= reams <= high for _, reams, low, high in fan.along)
    assert fan.thin[0][1] == 100
    notes = " ".join(there.notes)
    assert "of the one stretch of time to come, not of a mean" in notes
    assert "without a run-in" in notes
    assert "run-in of" not in notes


def test_a_target_that_is_made_already_stretches_no_axis() -> None:
    line = calm()
    state = {"moment": "2026-03-02 14:20", "reams_made": 5000}
    there = found(line, 0.1, runs=2, state=state, targets=(400, 5100))
    (fan,) = forecast_answer(line, there).charts
    assert isinstance(fan, Scatter)
    assert {reams for _, reams in fan.thin} == {5100}
    assert fan.thin_name == "5,100 reams"


def test_the_same_seed_gives_the_same_answer(tmp_path: Any) -> None:
    assert answer(tmp_path).tables == answer(tmp_path).tables


def test_a_broken_file_is_told_fault_by_fault(tmp_path: Any) -> None:
    with pytest.raises(ScenarioFaults, match=r"now.toml:3: bridge.reams = 400"):
        answer(tmp_path, 'moment = "2026-03-02 14:20"\n[bridge]\nreams = 400\n')


@pytest.mark.parametrize(
    ("option", "value"), [("until", "noon"), ("target", "many"), ("target", "-5"), ("state", "")]
)
def test_what_cannot_be_asked(tmp_path: Any, option: str, value: str) -> None:
    with pytest.raises(QuestionError, match=option):
        answer(tmp_path, **{option: value})


def test_what_is_doubted_widens_the_band(tmp_path: Any) -> None:
    rate = {"of": "rate_reams_per_min", "between": [20, 40]}
    sure = calm(wrapper=[{"rate_reams_per_min": 30}])
    line = calm(wrapper=[{"rate_reams_per_min": 30, "doubt": [rate]}])
    path = tmp_path / "now.toml"
    webs = "".join(f"[[reel]]\nweb = {web}\nleft_m = 7500\n" for web in range(1, 6))
    path.write_text(f'moment = "2026-03-02 14:20"\n[bridge]\nreams = 90\n{webs}', "utf-8")
    question = Question("forecast", {"state": str(path), "until": "+0.5h"})
    bands = []
    for each in (sure, line):
        low, _, high = ask(question, {"": each}, SETTINGS).found.reams
        bands.append(high.value - low.value)
    assert bands[1] > 3 * bands[0]


def test_no_more_digits_than_are_known_and_all_to_the_same() -> None:
    known = Quantile(0.5, 19_869.0, 19_702.0, 20_010.0, 0.95, 60)
    least = Quantile(0.1, 19_302.0, None, 19_402.0, 0.95, 60)
    sure = Quantile(0.9, 20_274.0, 20_273.0, 20_275.0, 0.95, 60)
    # The least known lies 167 off at most: tens are what that bears.
    assert _reams((least, known, sure)) == ["19,300", "19,870", "20,270"]
    assert _reams((Quantile(0.5, None, None, 9.0, 0.95, 2),)) == ["?"]
    assert _reams((Quantile(0.5, 240.0, 240.0, 240.0, 0.95, 20),)) == ["240"]
