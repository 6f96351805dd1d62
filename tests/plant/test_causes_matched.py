"""What a plant calls a stop: taken for a cause, new, or asked about."""

from __future__ import annotations

import dataclasses
import datetime as dt

import pytest

from linesim.plant.causes_matched import match_causes
from linesim.plant.fitting import Fitter
from linesim.plant.into_scenario import why_not_written, write_fits
from linesim.plant.log_fits import FitSettings, LogFits, MatchedLog
from linesim.plant.running_meter import Planned
from linesim.plant.stop_log import CleanStop, LeftOut, StopLog
from linesim.report.answers.stop_fits import fit_answer, fit_words
from linesim.scenario import load, shipped_scenarios

SCENARIO = load(shipped_scenarios()["short-bridge"])
MONDAY = dt.datetime(2026, 3, 2, 6)


def stops(*causes: str, station: str = "unwind", each: int = 4) -> tuple[CleanStop, ...]:
    found = []
    for n, cause in enumerate(causes * each):
        start = MONDAY + dt.timedelta(hours=n)
        found.append(CleanStop(n, start, start + dt.timedelta(minutes=3), station, cause))
    return tuple(found)


@pytest.mark.parametrize(
    ("written", "like"),
    [
        ("splcie", "splice"),
        ("spilce", "splice"),
        ("pslice", "splice"),
        ("Splices", "splice"),
        ("failed splice", "splice"),
        ("splcie on the left stand", "splice"),
        ("web braek", "web break"),
        ("paper brake", "web break"),
        ("reel chagne", "reel change"),
        ("warpping roll", "wrapping roll"),
        ("roll changes", "wrapping roll"),
    ],
)
def test_what_looks_like_a_stop_of_the_line_s_own_is_asked_about(written: str, like: str) -> None:
    """Added as a cause it would happen twice: once by itself, once as a cause."""
    log = stops(written)
    (found,) = match_causes(log, SCENARIO)
    assert (found.looks_like, found.new, found.set_in) == (like, False, None)
    planned = (Planned(MONDAY, MONDAY + dt.timedelta(hours=9)),)
    fit = Fitter([found], planned, SCENARIO).fit(found)
    assert like in why_not_written(fit)
    text = shipped_scenarios()["short-bridge"].read_text(encoding="utf-8")
    read = StopLog("log", "", {}, len(log), log, (), (), ())
    fits = LogFits(MatchedLog(read, planned, "", (found,), False), (fit,), SCENARIO, FitSettings())
    done = write_fits(text, SCENARIO, fits)
    assert done.text == text
    assert done.asked == (written,)
    said = " ".join(fit_words(fits))
    assert f"looks like {like}, which the line makes by itself" in said
    assert f"{written}={like}" in said
    # Of one name there is one question, whatever machines it stands at.
    twice = dataclasses.replace(fits, fits=(fit, fit))
    assert " ".join(fit_words(twice)).count(f"looks like {like}") == 1
    # As typed: it is that, or it is a cause of its own.
    (told,) = match_causes(log, SCENARIO, {written: like})
    assert (told.cause, told.looks_like, bool(told.set_in)) == (like, None, True)
    (own,) = match_causes(log, SCENARIO, {written: written})
    assert (own.cause, own.new) == (written, True)


@pytest.mark.parametrize(("unread", "said"), [(30, "up to 8 % shorter"), (0, "")])
def test_rows_that_could_not_be_read_may_make_intervals_too_long(unread: int, said: str) -> None:
    log = stops("static", station="web path") * 9
    (found,) = match_causes(log, SCENARIO)
    planned = (Planned(MONDAY, MONDAY + dt.timedelta(hours=9)),)
    out = tuple(
        LeftOut(line, "neither end nor length", "", may_be_stop=line < 3) for line in range(unread)
    )
    read = StopLog("log", "", {}, len(log) + len(out), log, out, (), ())
    matched = MatchedLog(read, planned, "", (found,), False)
    words = " ".join(fit_words(LogFits(matched, (), SCENARIO, FitSettings())))
    assert said in words
    assert ("shorter" in words) == bool(said)


def test_a_stop_of_a_station_that_the_scenario_has_not_is_told_and_not_written() -> None:
    """Every log goes as far as the pallets; a scenario may end at the wrappers."""
    line = load(shipped_scenarios()["orders"])
    log = stops("outfeed jam", station="outfeed")
    (found,) = match_causes(log, line)
    planned = (Planned(MONDAY, MONDAY + dt.timedelta(hours=9)),)
    fit = Fitter([found], planned, line).fit(found)
    assert why_not_written(fit, line).startswith("The scenario has no outfeed")
    assert why_not_written(fit, SCENARIO) == ""
    read = StopLog("log", "", {}, len(log), log, (), (), ())
    fits = LogFits(MatchedLog(read, planned, "", (found,), False), (fit,), line, FitSettings())
    text = shipped_scenarios()["orders"].read_text(encoding="utf-8")
    answer, written = fit_answer(fits, into=text, into_name="orders")
    assert written == text
    assert "outfeed jam (4, outfeed, which the scenario has not" in " ".join(answer.words)


@pytest.mark.parametrize("written", ["sattic", "statc", "Static", "static web 2", "STATIC!"])
def test_a_slip_of_the_keys_is_the_scenario_s_cause(written: str) -> None:
    (found,) = match_causes(stops(written, station="web path"), SCENARIO)
    assert found.cause == "static"
    assert found.place is not None


def test_what_hardly_looks_like_a_cause_of_the_scenario_is_asked_about() -> None:
    (found,) = match_causes(stops("trimm sucktin", station="slitter"), SCENARIO)
    assert (found.looks_like, found.new) == ("trim suction", False)


@pytest.mark.parametrize(
    ("one", "other"),
    [("sensor a", "sensor b"), ("lane 1", "lane 2"), ("motor X left", "motor left")],
)
def test_numbers_and_letters_tell_causes_apart(one: str, other: str) -> None:
    assert len(match_causes(stops(one, other), SCENARIO)) == 2


def test_new_causes_stay_new() -> None:
    names = ("pallet missing", "tape torn", "police", "air pressure", "light curtain")
    found = match_causes(stops(*names, station="outfeed"), SCENARIO)
    assert {each.cause for each in found if each.new} == set(names)


def test_change_overs_are_the_line_s_own_where_it_has_orders() -> None:
    orders = load(shipped_scenarios()["orders"])
    (made,) = match_causes(stops("size change"), orders)
    assert made.set_in == "[changeover]"
    (new,) = match_causes(stops("size change"), SCENARIO)
    assert new.new
