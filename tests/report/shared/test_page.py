"""The page that plays a run: what is in it is the record's, and nothing comes from elsewhere."""

from __future__ import annotations

import re
from base64 import b64encode
from functools import cache
from hashlib import sha256

import numpy as np
import pytest

from linesim.fast import simulate
from linesim.record import OWN_STATES, Record, State, moment_at, ripple, stop_events
from linesim.report import ripple_words, shared_shift
from linesim.report.answers.cells import cell_text
from linesim.report.moment_words import moment_labels, states_in_words
from linesim.report.plain import CAUTIONS, INVENTED
from linesim.report.ripple_in_words import clock_words, duration_words, ripple_table
from linesim.report.shared import TooLongToShareError
from linesim.report.shared import page as page_of
from linesim.report.shared.samples import step_s
from linesim.report.story import story
from linesim.scenario import ForcedStop, find_scenario, load
from linesim.studies import StoppedError, replicate
from linesim.version import __version__
from tests.report.page.pages import HOSTILE, NAMES, hostile_line, hostile_runs
from tests.report.shared.reading import SharedFile, column

DEMOS = ("short-bridge", "two-wrappers", "orders")
HOURS = 0.07
STOP = ForcedStop(station="wrapper", at_h=0.02, minutes=1.2)


@cache
def record_of(demo: str) -> Record:
    return simulate(load(find_scenario(demo)), seed=3, hours=HOURS, forced=(STOP,))


@cache
def page_text(demo: str) -> str:
    return shared_shift(record_of(demo))


@cache
def file_of(demo: str) -> SharedFile:
    return SharedFile(page_text(demo))


@cache
def hostile() -> str:
    record = simulate(hostile_line(), seed=7, hours=0.05)
    return shared_shift(record, hostile_runs())


@pytest.mark.parametrize("demo", DEMOS)
def test_moments_are_those_of_the_record(demo: str) -> None:
    record, file = record_of(demo), file_of(demo)
    assert file.at_ms[0] * 10**6 == record.start_ns
    assert file.at_ms[-1] == record.end_ns // 10**6
    doing, wrapped = file.words("doing"), column(file.run["numbers"]["wrapped"])
    travelling = file.groups(file.run["travelling"], 2)
    for place in range(0, len(file.at_ms), 43):
        moment = moment_at(record, file.at_ms[place] * 10**6)
        labels = moment_labels(moment)
        assert file.words("bridge")[place] == labels.bridge
        assert file.words("speed")[place] == labels.speed
        assert file.words("sets")[place] == labels.sets
        assert [file.words(f"reel {n}")[place] for n in range(len(labels.reels))] == [*labels.reels]
        assert doing[place] == (" · ".join(states_in_words(moment)) or "Every station runs")
        assert wrapped[place] == moment.wrapped
        stand = column(file.run["numbers"]["standing"])[place]
        assert stand + sum(reams for _, reams in travelling[place]) == moment.bridge_level


def at(lane: list[tuple[int, int, str]], ms: int) -> tuple[int, str]:
    """State and words of a lane at a moment."""
    return [row[1:] for row in lane if row[0] <= ms][-1]


@pytest.mark.parametrize("demo", DEMOS)
def test_lanes_are_the_spans_of_the_record(demo: str) -> None:
    record, file = record_of(demo), file_of(demo)
    for name in record.stations:
        lane = file.lane(name)
        for ms in file.at_ms[::17]:
            station = moment_at(record, ms * 10**6).station(name)
            assert at(lane, ms) == (station.state, station.words)


@pytest.mark.parametrize("demo", DEMOS)
def test_what_waits_for_a_stop_begins_and_ends_as_it_did(demo: str) -> None:
    record, file = record_of(demo), file_of(demo)
    events = stop_events(record)
    lanes = {name: file.lane(name) for name in record.stations}
    waits = [each for event in events for each in ripple(record, event, events).reached]
    for each in waits:
        lane = lanes[record.stations[each.station]]
        begun = {ms for ms, state, _ in lane if state == each.state}
        # In whole ms; where one wait follows another at once, the lane goes on.
        for start, end in zip(each.starts_ns, each.ends_ns, strict=True):
            first, after = -(-start // 10**6), -(-end // 10**6)
            assert first in begun or at(lane, first - 1)[0] == each.state
            assert at(lane, after - 1)[0] == each.state or after <= first
    assert waits


@pytest.mark.parametrize("demo", DEMOS)
def test_no_level_is_lost_between_two_moments(demo: str) -> None:
    record, file = record_of(demo), file_of(demo)
    times, level = record.recorded.bridge_level()
    low, high = (np.array(column(file.run["curves"][name])) for name in ("low", "high"))
    at = np.array(file.at_ms) * 10**6
    inside = (times >= at[0]) & (times < at[-1])
    where = np.searchsorted(at, times[inside], side="right") - 1
    assert inside.any()
    assert (low[where] <= level[inside]).all()
    assert (level[inside] <= high[where]).all()
    assert high.max() == max(level[inside].max(), moment_at(record, record.start_ns).bridge_level)


@pytest.mark.parametrize("demo", DEMOS)
def test_each_stop_is_told_as_the_window_tells_it(demo: str) -> None:
    record, file = record_of(demo), file_of(demo)
    events = stop_events(record)
    assert file.run["stops"]["count"] == len(events)
    tables = file.tables()
    for number, event in enumerate(events):
        found = ripple(record, event, events)
        stops = {name: values[number] for name, values in file.stops.items()}
        assert file.texts[stops["told"]] == ripple_words(record, found)
        rows = ripple_table(record, found, in_words=True).rows
        assert tables[number] == [[cell_text(cell) for cell in row] for row in rows]
        assert file.texts[stops["stood"]] == duration_words(event.length_ns)
        assert file.run["lanes"][stops["lane"]]["name"] == record.stations[event.station]
        assert clock_words(stops["start"] * 10**6) == clock_words(event.start_ns + 999_999)
        # The lane stands from its first moment on, and no longer at its end.
        lane = file.lane(record.stations[event.station])
        end = stops["start"] + stops["length"]
        assert at(lane, stops["start"])[0] == stops["state"]
        assert at(lane, end - 1)[0] in OWN_STATES
        assert at(lane, end) != at(lane, end - 1)


def test_stops_are_among_what_was_looked_at() -> None:
    reached = [len(table) for demo in DEMOS for table in file_of(demo).tables()]
    assert len(reached) >= 3
    assert max(reached) > 2


def test_the_same_run_is_the_same_to_the_byte() -> None:
    record = record_of("short-bridge")
    again = simulate(record.scenario, seed=3, hours=HOURS, forced=(STOP,))
    assert shared_shift(again) == page_text("short-bridge")


def test_it_says_what_it_is_about_and_what_it_leaves_out() -> None:
    runs = hostile_runs()
    said = SharedFile(hostile()).said.replace("\u00a0", " ")
    assert story(runs).text in said
    for words in (
        "seed 7, replication 0",
        f"linesim {__version__}",
        INVENTED,
        *CAUTIONS,
        "The paragraph at the top is about 3 runs of 1 h with seed 7: ± is the 95 % interval.",
        "at every second of the run",
    ):
        assert words in said


def test_one_run_has_no_interval() -> None:
    runs = replicate(hostile_line(), replications=1, hours=0.02, seed=7)
    record = simulate(hostile_line(), seed=7, hours=0.02)
    assert "1 run of 0.02 h with seed 7: one run: no interval." in SharedFile(
        shared_shift(record, runs)
    ).said.replace("\u00a0", " ")


def test_names_are_no_code_and_nothing_is_loaded() -> None:
    html = hostile()
    file = SharedFile(html)
    assert HOSTILE in file.said
    assert NAMES in file.run["plan"]["wrappers"]
    tags = [tag for tag, _ in file.elements]
    assert tags.count("script") == tags.count("style") == 1
    assert not set(tags) & {"img", "iframe", "object", "embed", "link", "form", "base", "b"}
    names = {name for _, attrs in file.elements for name in attrs}
    assert not {name for name in names if name.startswith("on")} | (names & {"src", "href"})
    # The name of a kind of element is no address.
    addresses = re.findall(r"https?://[^\"\s]*", page_text("short-bridge"))
    assert addresses == ["http://www.w3.org/2000/svg"]
    (policy,) = (a["content"] for _, a in file.elements if a.get("http-equiv"))
    digest = b64encode(sha256(file.script.encode()).digest()).decode()
    assert policy == (
        f"default-src 'none'; style-src 'unsafe-inline'; script-src 'sha256-{digest}'"
    )
    assert not re.search(r"innerHTML|insertAdjacent|document\.write|eval\(|Function\(", html)
    assert not re.search(r"\bfetch\(|XMLHttp|WebSocket|sendBeacon|import\(", html)
    assert html.count("</style>") == html.count("</script>") == 1


def test_who_sees_no_picture_and_uses_no_mouse_is_provided_for() -> None:
    file = file_of("short-bridge")
    ids = [attrs["id"] for _, attrs in file.elements if attrs.get("id")]
    assert len(ids) == len(set(ids))
    for tag, attrs in file.elements:
        if tag == "button":
            assert attrs["type"] == "button"
        if attrs.get("role") == "img":
            assert attrs["aria-label"]
        for name in (attrs.get("aria-labelledby") or "").split():
            assert name in ids
    # Every part that the script asks for is there.
    assert set(re.findall(r'byId\("([\w-]+)"\)', file.script)) <= set(ids)
    for rule in ("prefers-color-scheme:dark", "@media print", "@media (max-width"):
        assert rule in page_text("short-bridge")
    assert "prefers-reduced-motion" in file.script


def test_states_in_trouble_differ_without_colour() -> None:
    states = file_of("short-bridge").run["states"]
    hatches = [each["hatch"] for each in states if each["hatch"]]
    assert len(set(hatches)) == len(hatches) == 6
    quiet = {State.RUNNING, State.SLOWED, State.PLANNED}
    assert {State(n) for n, each in enumerate(states) if not each["hatch"]} == quiet
    html = page_text("short-bridge")
    assert all(f'id="on-hatch-{hatch}"' in html for hatch in hatches)


def test_a_long_run_is_looked_at_less_often() -> None:
    record = simulate(load(find_scenario("small-crew")), seed=1, hours=30.0)
    assert step_s(record_of("short-bridge")) == 1
    assert step_s(record) == 6


def test_it_can_be_given_up() -> None:
    parts: list[float] = []

    def stop(part: float) -> bool:
        parts.append(part)
        return False

    with pytest.raises(StoppedError):
        shared_shift(record_of("short-bridge"), progress=stop)
    assert parts == [0.0]


@pytest.mark.parametrize(("name", "most"), [("_MOST_STOPS", -1), ("MOST_BYTES", 1000)])
def test_what_one_file_cannot_hold_is_refused(
    monkeypatch: pytest.MonkeyPatch, name: str, most: int
) -> None:
    monkeypatch.setattr(page_of, name, most)
    with pytest.raises(TooLongToShareError, match=r"0\.07 h with .*share fewer hours"):
        shared_shift(record_of("orders"))
