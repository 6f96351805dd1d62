"""The walks of DEVELOPERS.md, and what they promise."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from linesim.fast import kept_engine
from tests.docs.walking import BOTH, STEPS, commands_of, run, walked

WALKS = {
    "A stop cause",
    "A station",
    "A lesson",
    "A window page",
    "A report section",
    "A format of the plant's tables",
    "A study",
}

DRIVER = """
import json, sys
from click.testing import CliRunner
import linesim
from linesim.commands import main
from linesim.lessons import lesson_scenario, lesson_truth, load_lesson

asked = json.load(sys.stdin)
said = []
for arguments in asked["commands"]:
    result = CliRunner().invoke(main, arguments)
    said.append([result.exit_code, result.output])
lessons = {}
for name in asked["lessons"]:
    lesson = load_lesson(name)
    truth = lesson_truth(lesson, lesson_scenario(lesson, file=name), runs=2)
    lessons[name] = [truth.unit, truth.happened, truth.sum.value]
page = linesim.questions.STUDIES.get("slow-down")
line = linesim.load(linesim.shipped_scenarios()["short-bridge"])
report = linesim.write_report(line, hours=1, replications=2, processes=1)
print(json.dumps({"from": linesim.__file__, "said": said, "lessons": lessons,
                  "report": report.html(),
                  "labels": [each.title for each in page.options.declared().values()]}))
"""


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return walked(tmp_path_factory.mktemp("clone"))


def test_each_walk_has_steps() -> None:
    study = [step for step in STEPS if step.walk == "A study"]
    assert [step.where for step in study] == ["new", "console"]
    assert {step.walk for step in STEPS} == WALKS


@pytest.mark.parametrize("walk", sorted(WALKS - {"A station"}))
def test_a_first_change_touches_few_files(walk: str) -> None:
    touched = {step.path for step in STEPS if step.walk == walk and step.where != "console"}
    assert 1 <= len(touched) <= 3, sorted(touched)


def test_what_the_walks_promise_comes_true(copy: Path) -> None:
    asked = [pair for step in STEPS if step.where == "console" for pair in commands_of(step)]
    ours = [(words[1:], parts) for words, parts in asked if words[0] == "linesim"]
    lessons = [step.path for step in STEPS if step.path.startswith("scenarios/lessons/")]
    told = json.dumps({"commands": [words for words, _ in ours], "lessons": lessons})
    got = json.loads(run(copy, "-c", DRIVER, told=told))
    assert got["from"].startswith(str(copy))
    for (words, parts), (code, said) in zip(ours, got["said"], strict=True):
        assert code == 0, f"{words}\n{said}"
        assert parts
        assert [part for part in parts if part not in said] == [], f"{words}\n{said}"
    assert len(lessons) == 1
    unit, happened, worked = got["lessons"][lessons[0]]
    assert (unit, happened) == ("reams", 2)
    assert worked > 0
    assert got["labels"] == ["Slower by"]
    assert '<a href="#day">A day</a>' in got["report"]
    assert "<p>In 24 hours: " in got["report"]


JAMMED = """
from linesim.line import simulate
from linesim.record import State
from tests.line.calm_line import calm, seconds_in, stop

# Set 100 is full at 750 s and put down at 753; its reams are wrapped at 754 to 757. The sealer is
# done with the last at 760. Sets come every 7.5 s: the eleventh ream, the third of set 103, is
# wrapped at 778.5 and finds no place.
sealer = {"rate_reams_per_min": 60, "reams_per_film": 4, "film_s": 2, "buffer_reams": 10}
jam = stop("sealer", every_reams=400, restore_min=10)
record = simulate(calm(sealer=sealer, stop=[jam]), hours=0.25)
print(record.taken_out, seconds_in(record, "sealer", State.DOWN),
      round(seconds_in(record, "wrapper", State.BLOCKED), 6))
"""


def test_the_new_station_does_what_was_worked_out_by_hand(copy: Path) -> None:
    assert run(copy, "-c", JAMMED).strip() == "(400,) 140.0 121.5"


def test_the_new_station_behind_the_wrappers_needs_no_other_machine_code(tmp_path: Path) -> None:
    kept_engine.make()
    # A station on the webs gives others new numbers, which are compiled in.
    made = walked(tmp_path, but="linesim/scenario/stops.py")
    asked = 'NAMES, HOURS, SEEDS = ["short-bridge"], 2, [3]\n'
    said = run(made, "-c", asked + BOTH, own_cache=False)
    assert said.split("taken out")[1].endswith("same\n")


SHOWN = """
import json
from PySide6.QtGui import QGuiApplication, QImage, QPainter
import linesim
from gui.look import LIGHT
from gui.plan.drawing import draw_plan
from gui.plan.layout import PlanLayout
from gui.strip.lanes import lanes_of
from linesim.record.audit import audit
from linesim.report.page.line_drawing import line_drawing
from linesim.studies.bridge_theory import two_station_estimate

app = QGuiApplication([])
scenario = linesim.scenario.load(linesim.scenario.find_scenario("short-bridge")).varied(
    outfeed={"buffer_reams": 3}, sealer={"rate_reams_per_min": 25, "buffer_reams": 4}
)
asked = [linesim.scenario.ForcedStop(station=name, at_h=at, minutes=9)
         for name, at in (("web_cleaner", 0.3), ("sealer", 0.5))]
record = linesim.fast.simulate(scenario, hours=1, forced=asked, history=True)
faults = [fault for check in audit(record) for fault in check.faults]
image = QImage(1200, 500, QImage.Format.Format_RGB32)
painter = QPainter(image)
moment = linesim.record.moment_at(record, record.end_ns // 2 + 10**11)
draw_plan(painter, (1200.0, 500.0), scenario, moment, LIGHT)
painter.end()
states = {}
for name in ("outfeed", "sealer"):
    spans = record.history.spans.of(record.station(name))
    at = spans.start_ns.searchsorted(moment.t_ns, side="right") - 1
    root = spans.root_station[at]
    states[name] = [linesim.record.State(int(spans.state[at])).name, record.stations[root]]
print(json.dumps({
    "columns": list(PlanLayout.for_line(scenario, 1200, 500).columns),
    "lanes": [lane.title for lane in lanes_of(record, True)],
    "page": [mark.text for mark in line_drawing(scenario).marks if hasattr(mark, "text")],
    "rates": [rate.station for rate in linesim.record.line_rates(scenario)],
    "effectiveness": [each.name for each in linesim.record.station_effectiveness(record)],
    "estimate": two_station_estimate(scenario).fit,
    "stops": sorted(record.stations[s.station] for s in record.stops
                    if record.causes[s.cause] == "forced stop"),
    "states": states,
    "faults": faults,
}))
"""


def test_the_new_stations_are_seen_wherever_a_line_is_shown(copy: Path) -> None:
    shown = json.loads(run(copy, "-c", SHOWN))
    assert shown["columns"][1:4] == ["web_path", "web_cleaner", "slitter"]
    assert shown["columns"][-3:] == ["wrappers", "outfeed", "sealer"]
    assert shown["lanes"][-2:] == ["outfeed", "sealer"]
    assert "web cleaner" in shown["lanes"]
    assert "sealer" in shown["page"]
    assert shown["rates"][-2:] == ["outfeed", "sealer"]
    assert shown["effectiveness"][-2:] == ["outfeed", "sealer"]
    assert shown["estimate"]
    assert shown["faults"] == []
    assert shown["stops"] == ["sealer", "web_cleaner"]
    assert shown["states"]["sealer"][0] == "DOWN"
    assert shown["states"]["outfeed"] == ["BLOCKED", "sealer"]


PAGE = """
import gui.command
import linesim
from gui.window.main_window import MainWindow

app = gui.command.application()
window = MainWindow(remember=False)
window.show()
assert window.pages.go_to("stops")
page = window.pages.current
record = linesim.simulate(linesim.load(linesim.shipped_scenarios()["short-bridge"]), hours=1)
window.shown.show(record)
app.processEvents()
lines = page.toPlainText().splitlines()
stops = linesim.record.stop_events(record)
print(type(page).__name__, page.isVisible(), len(lines) == len(stops) > 0)
window.close()
"""


def test_the_new_page_opens_in_the_window(copy: Path) -> None:
    assert run(copy, "-c", PAGE).splitlines()[-1] == "StopsPage True True"
