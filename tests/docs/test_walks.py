"""The walks of DEVELOPERS.md under "How to add", done to the letter in a copy of the clone."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.docs.pages import CLONE, DEVELOPERS, Step, walk_steps

STEPS = walk_steps(DEVELOPERS)

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
page = linesim.QUESTIONS.get("slow-down")
print(json.dumps({"from": linesim.__file__, "said": said, "lessons": lessons,
                  "labels": [f.title for f in page.options.model_fields.values()]}))
"""


def done(step: Step, copy: Path) -> None:
    """Change the copy as the step says."""
    path = copy / step.path
    block = "\n".join(step.lines) + "\n"
    if step.where == "new":
        assert not path.exists(), f"{step.path} is no new file"
        path.write_text(block, encoding="utf-8")
        return
    text = path.read_text(encoding="utf-8")
    if step.where == "end":
        path.write_text(text + "\n" + block, encoding="utf-8")
        return
    line = step.anchor + "\n"
    assert text.count("\n" + line) == 1, f"{step.path}: not once: {step.anchor}"
    new = {"below": line + block, "above": block + line, "in place of": block}[step.where]
    path.write_text(text.replace("\n" + line, "\n" + new), encoding="utf-8")


def run(copy: Path, *arguments: str, told: str = "") -> str:
    """Run Python in the copy, on the copy's own package."""
    environment = os.environ | {"PYTHONPATH": str(copy), "XDG_CACHE_HOME": str(copy / "cache")}
    result = subprocess.run(
        [sys.executable, *arguments],
        cwd=copy,
        env=environment,
        input=told,
        capture_output=True,
        text=True,
        timeout=100,
    )
    assert result.returncode == 0, result.stdout + result.stderr
    return result.stdout


def commands_of(step: Step) -> list[tuple[list[str], list[str]]]:
    """The commands of a console block, each with the parts of its answer."""
    found: list[tuple[list[str], list[str]]] = []
    for line in step.lines:
        if line.startswith("$ "):
            found.append((line.split()[1:], []))
        else:
            found[-1][1].append(line)
    return found


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("clone")
    for folder in ("linesim", "gui", "scenarios", "tests/line"):
        shutil.copytree(CLONE / folder, made / folder)
    # Another package on the path may be called tests: the copy's own goes first.
    for folder in ("tests", "tests/line"):
        (made / folder / "__init__.py").touch()
    for step in STEPS:
        if step.where != "console":
            done(step, made)
            continue
        for words, _ in commands_of(step):
            if words[0] == "cp":
                shutil.copy(made / words[1], made / words[2])
    return made


def test_each_walk_has_steps() -> None:
    assert [step.walk for step in STEPS].count("A study") >= 9
    assert {step.walk for step in STEPS} == {"A stop cause", "A station", "A lesson", "A study"}


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


def test_the_new_station_passes_the_test_written_for_it(copy: Path) -> None:
    made = [step.path for step in STEPS if step.path.startswith("tests/")]
    assert len(made) == 1
    module = made[0].removesuffix(".py").replace("/", ".")
    run(copy, "-c", f"import {module} as t; t.test_it_clogs_after_a_quarter_of_an_hour()")


DRAWING = """
from PySide6.QtGui import QGuiApplication, QImage, QPainter
import linesim
from gui.look import LIGHT
from gui.plan.drawing import draw_plan
from gui.plan.layout import PlanLayout

app = QGuiApplication([])
scenario = linesim.load(linesim.find_scenario("short-bridge"))
record = linesim.simulate(scenario, hours=1)
image = QImage(1200, 500, QImage.Format.Format_RGB32)
painter = QPainter(image)
draw_plan(painter, (1200.0, 500.0), scenario, linesim.moment_at(record, record.end_ns), LIGHT)
painter.end()
columns = PlanLayout.for_line(scenario, 1200, 500).columns
print(list(columns)[1:4], "web_cleaner" in record.stations)
"""


def test_the_new_station_is_drawn_where_it_stands(copy: Path) -> None:
    assert run(copy, "-c", DRAWING) == "['web_path', 'web_cleaner', 'slitter'] True\n"
