"""The walks of DEVELOPERS.md under "How to add", done to the letter in a copy of the clone."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

from tests.docs.pages import CLONE, DEVELOPERS, Step, walk_steps

STEPS = walk_steps(DEVELOPERS)

BOTH = """
import linesim
from linesim.fast import simulate
from linesim.record.audit import audit
from tests.fast.engines import differences

STOPS = [
    {"station": "sealer", "cause": "jam", "every_reams": 300, "restore_min": 4},
    {"station": "sealer", "cause": "film used up", "every_running_h": 1, "restore_min": 2},
]
wrong = 0
for name in NAMES:
    demo = linesim.scenario.load(linesim.scenario.find_scenario(name))
    stops = [*(stop.model_dump(exclude_unset=True) for stop in demo.stop), *STOPS]
    for seed in SEEDS:
        room = (0, 5)[seed % 2]
        sealer = {"rate_reams_per_min": 30 + 10 * seed, "buffer_reams": 4 * seed}
        line = demo.varied(outfeed={"buffer_reams": room}, sealer=sealer, stop=stops)
        differ = differences(line, seed=seed, hours=HOURS, history=True)
        record = simulate(line, seed=seed, hours=HOURS, history=True)
        faults = [fault for check in audit(record) for fault in check.faults]
        stood = sum(s.count for s in record.stops if record.stations[s.station] == "sealer")
        waits = [round(record.hours_in(record.station("outfeed"), state), 3)
                 for state in (linesim.record.State.STARVED, linesim.record.State.BLOCKED)]
        wrong += bool(differ) + bool(faults)
        print(name, seed, "taken out", record.taken_out, "stops of the sealer", stood,
              "outfeed starved and blocked, h", waits, list(differ) or "same", *faults, flush=True)
raise SystemExit(wrong > 0)
"""
"""Runs of ``NAMES`` for ``HOURS`` with ``SEEDS``, a sealer behind the outfeed, both ways."""


def walked(made: Path, *, but: str = "") -> Path:
    """Copy the clone's packages into an empty folder, and change the copy as the steps say.

    All steps, ``but`` those that change this file.
    """
    for folder in ("linesim", "gui", "scenarios", "tests/line", "tests/fast"):
        shutil.copytree(CLONE / folder, made / folder)
    # Another package on the path may be called tests: the copy's own goes first.
    for folder in ("tests", "tests/line", "tests/fast"):
        (made / folder / "__init__.py").touch()
    for step in STEPS:
        if step.where != "console":
            if step.path != but:
                _done(step, made)
            continue
        for words, _ in commands_of(step):
            if words[0] == "cp":
                shutil.copy(made / words[1], made / words[2])
    return made


def _done(step: Step, copy: Path) -> None:
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


def run(copy: Path, *arguments: str, told: str = "", own_cache: bool = True) -> str:
    """Run Python in the copy, on the copy's own package."""
    environment = os.environ | {"PYTHONPATH": str(copy)}
    if own_cache:
        environment["XDG_CACHE_HOME"] = str(copy / "cache")
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
