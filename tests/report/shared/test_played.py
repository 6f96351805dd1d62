"""What a page that plays tells besides its lanes: the orders, and the run without a stop put in."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from linesim.fast import simulate
from linesim.record import LOUD, Record, disturbance, moment_at
from linesim.report import orders_in_time, shared_shift
from linesim.scenario import HOUR, ForcedStop, find_scenario, load
from tests.report.shared.reading import SharedFile, column

PLAYED = Path(__file__).parent / "played.mjs"
HOURS = 0.2
STOP = ForcedStop(station="wrapper", at_h=0.05, minutes=3)
HAS_NODE = shutil.which("node") is not None


@cache
def pair(demo: str = "short-bridge") -> tuple[Record, Record]:
    """A run without the stop and with it; its second order is late before it is begun."""
    line = load(find_scenario(demo))
    if line.order:
        late = line.order[0].model_copy(update={"due_h": 0.1})
        line = line.model_copy(update={"order": [late, *line.order[1:]]})
    quiet, stopped = (simulate(line, seed=3, hours=HOURS, forced=f) for f in ((), (STOP,)))
    return quiet, stopped


@cache
def page(demo: str = "short-bridge") -> str:
    quiet, stopped = pair(demo)
    return shared_shift(stopped, disturbance=disturbance(quiet, stopped, STOP), without=quiet)


def test_the_run_without_the_stop_goes_along() -> None:
    quiet, stopped = pair()
    file = SharedFile(page())
    without = file.run["without"]
    assert without["title"] == "without the stop"
    levels, good = (column(without["curves"][name]) for name in ("level", "good"))
    for place in range(0, len(file.at_ms), 29):
        moment = moment_at(quiet, file.at_ms[place] * 10**6)
        assert levels[place] == moment.bridge_level
    assert good[-1] == quiet.books.reams.good
    assert column(file.run["curves"]["good"])[-1] == stopped.books.reams.good < good[-1]
    assert "The thin line is the same run without the stop" in file.said


def test_of_a_stop_put_in_little_is_told_before_the_run_and_the_rest_below_it() -> None:
    said = SharedFile(page()).said
    first, further = said.index("The wrapper stood for 3 min"), said.index("Another shift gives")
    play, heading = said.index("Play"), said.index("The stop that was put in")
    assert first < play < heading < further
    assert said.count("Another shift gives other figures.") == 1
    assert "The stop that was put in" not in SharedFile(shared_shift(pair()[0])).said


def test_it_knows_which_stop_was_put_in() -> None:
    quiet, _ = pair()
    file = SharedFile(page())
    stop = file.run["put in"]
    assert file.texts[file.stops["cause"][stop]] == "forced stop"
    assert file.stops["start"][stop] == round(STOP.at_h * 3_600_000)
    plain = SharedFile(shared_shift(quiet))
    assert (plain.run["put in"], plain.run["without"]) == (-1, None)
    assert "The thin line" not in plain.said


def test_a_stop_that_is_not_to_be_seen_is_none_of_the_stops() -> None:
    quiet, _ = pair()
    after = ForcedStop(station="wrapper", at_h=2 * HOURS, minutes=1)
    unseen = disturbance(quiet, quiet, after)
    assert SharedFile(shared_shift(quiet, disturbance=unseen)).run["put in"] == -1


def test_orders_are_those_of_the_record() -> None:
    _, record = pair("orders")
    orders = SharedFile(page("orders")).run["orders"]
    for told, order in zip(orders, orders_in_time(record), strict=True):
        for name, hours in zip(("begun", "done", "due"), order[2:5], strict=True):
            assert told[name] == (None if hours is None else round(hours * HOUR / 10**6))
        assert told["late"] == (order.late_h is not None)
        assert told["titles"] == list(order.titles)
        assert told["says"] == order.words(record.scenario).replace("\n", ", ")
    assert orders[0]["late"]
    assert SharedFile(page()).run["orders"] == []


def test_what_is_loud_is_said_by_the_run() -> None:
    file = SharedFile(page())
    assert file.run["loud"] == list(LOUD)
    assert not re.search(r'"(down|changeover|people|reel)"', file.script)


def played(text: str, folder: Path) -> dict[str, Any]:
    """What is seen of a page as it opens, with all of the run, and under the pointer."""
    target = folder / "shift.html"
    target.write_text(text, "utf-8")
    done = subprocess.run(["node", PLAYED, target], capture_output=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr.decode()
    found: dict[str, Any] = json.loads(done.stdout)
    return found


@pytest.mark.skipif(not HAS_NODE, reason="no node on this machine")
def test_a_stop_put_in_is_looked_at_as_the_page_opens(tmp_path: Path) -> None:
    seen = played(page(), tmp_path)
    quiet, stopped = pair()
    first, whole = seen["first"], seen["all"]
    assert first["clock"] == "0:03:00"
    assert first["told"].startswith("Wrapper, forced stop: stood 3 min from 0:03:00.")
    assert first["rows"][0][:2] == ["wrapper", "stood"]
    assert first["without"] == whole["without"] == 2
    (out,) = (words for words in whole["words"] if words.startswith("good reams"))
    assert out.startswith(f"good reams {stopped.books.reams.good:,}, nameplate ")
    assert out.endswith(f", without the stop {quiet.books.reams.good:,} (thin)")
    (near,) = (words for words in first["words"] if words.startswith("good reams"))
    assert " since 0:0" in near
    under = " ".join(seen["under"])
    assert ", without the stop " in under
    assert "wrapper: " in under


@pytest.mark.skipif(not HAS_NODE, reason="no node on this machine")
def test_orders_stand_above_the_lanes(tmp_path: Path) -> None:
    seen = played(shared_shift(pair("orders")[0]), tmp_path)
    _, record = pair("orders")
    order = orders_in_time(record)[0]
    assert order.titles[0] in seen["all"]["words"]
    assert f"{order.name} due" in seen["all"]["words"]
    assert seen["all"]["without"] == 0
    # Moments are those of the calendar, as in the words beside them.
    assert seen["all"]["clock"] == "Mon 2 Mar 06:00:00"
    assert "06:04" in seen["all"]["words"]
    assert any(order.words(record.scenario).split("\n")[0] in words for words in seen["under"])
