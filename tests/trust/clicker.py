"""Uses the window at random, over many seeds, and says what went wrong.

    python tests/trust/clicker.py --seeds 20 --minutes 3 --processes 2
    python tests/trust/clicker.py --only 7 --minutes 10

Every page, dialogs, keys, drags, wheels, studies under way, files opened and written. Found are:
an end by a signal, a hang of a minute, a warning of Qt, an exception nobody caught, a chart that is
no longer there, an owner that is wrong (``tests/trust/owners.py``), widgets and memory that grow.
Seeds take turns: of every four the second meets pages as they are first shown, the third finds its
targets by place alone, and in the fourth another thread has the collector run. Every four seeds
begin with another line, the last of them with twelve lanes and orders due on days; odd seeds meet
one whose causes are doubted. The program is copied first, so that it may be edited meanwhile. Ends
with 1 where something is found.
"""

from __future__ import annotations

import argparse
import itertools
import json
import os
import shutil
import signal
import statistics
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from pathlib import Path

_TOP = Path(__file__).resolve().parents[2]
_COPIED = ("linesim", "gui", "scenarios", "tests", "pyproject.toml")
_CLICKING = "import tests_of_this_clone; from tests.trust.clicking import main; main()"
_TO_START_S, _TO_END_S = 60.0, 90.0
_WAYS = (
    ("widget", "own", "first"),
    ("widget", "own", "as they come"),
    ("place", "own", "first"),
    ("widget", "threads", "first"),
)
_SETTLES_S = 40.0
"""Until then pages are shown for the first time, and answers for the first time."""
_STRETCHES = 7
_GROWS_MB_A_MIN, _GROWS_WIDGETS_A_MIN = 12.0, 100.0


@dataclass
class Used:
    """What one seed came to."""

    seed: int
    way: str
    all_pages: bool = True
    """Whether all are made at first: what grows later is something else."""
    actions: int = 0
    faults: list[str] = field(default_factory=list)
    grew: str = ""
    threads: int = 0
    processes: int = 0
    last: str = ""
    """The last actions, the trace of a process that died, and the end of what was printed."""

    def told(self) -> str:
        """All of it in words."""
        head = f"seed {self.seed}, {self.way}: {self.actions:,} actions, {self.grew or 'no growth'}"
        return "\n".join([head, *self.faults, self.last])


def use(top: Path, folder: Path, seed: int, seconds: float, actions: int = -1) -> Used:
    """Use the window of the program at *top* with this seed; everything is written in *folder*."""
    by, collector, pages = _WAYS[(seed - 1) % len(_WAYS)]
    used = Used(seed, f"by {by}, collector {collector}, pages {pages}", pages == "first")
    folder.mkdir(parents=True)
    home = {
        name: str(folder / name.lower())
        for name in ("HOME", "XDG_CACHE_HOME", "XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME")
    }
    given = {
        "QT_QPA_PLATFORM": "offscreen",
        "LINESIM_ENGINE": "interpreted",
        "PYTHONPATH": os.pathsep.join((str(top), str(top / "tests/trust"))),
    }
    # No script: the processes that the window starts would read it again, and load Qt.
    command = [sys.executable, "-c", _CLICKING, str(folder)]
    command += ["--seed", str(seed), "--seconds", str(seconds), "--actions", str(actions)]
    command += ["--by", by]
    command += ["--collector", collector, "--pages", pages]
    process = subprocess.Popen(
        command, env=os.environ | home | given, stderr=subprocess.PIPE, text=True, cwd=folder
    )
    try:
        _, said = process.communicate(timeout=seconds + _TO_START_S + _TO_END_S)
    except subprocess.TimeoutExpired:
        process.kill()
        _, said = process.communicate()
        used.faults.append("did not end")
    code = process.returncode
    if code:
        used.faults.append(f"died: {signal.Signals(-code).name if code < 0 else f'exit {code}'}")
    used.last = _last(folder, said)
    _read(used, folder)
    return used


def _last(folder: Path, said: str) -> str:
    log = folder / "actions.log"
    last = log.read_text(encoding="utf-8").splitlines()[-15:] if log.exists() else []
    trace = folder / "trace.txt"
    traced = trace.read_text(encoding="utf-8")[:6000] if trace.exists() else ""
    return "\n".join([*last, traced, said[-2000:]])


def _read(used: Used, folder: Path) -> None:
    told = folder / "found.json"
    if not told.exists():
        return
    found = json.loads(told.read_text(encoding="utf-8"))
    used.actions, used.threads = found["actions"], found["threads"]
    used.processes = found["processes"]
    used.faults += [f"{times} x {what}" for what, times in found["found"].items()]
    samples = [each for each in found["samples"] if each[0] > _SETTLES_S]
    if len(samples) >= 2 * _STRETCHES:
        _look_at_growth(used, samples)


def _look_at_growth(used: Used, samples: list[tuple[float, float, int]]) -> None:
    """What leaks does so nearly all the time; what is made at first use does so once."""
    size = len(samples) // _STRETCHES
    means = [
        [statistics.fmean(each) for each in zip(*samples[n * size : (n + 1) * size], strict=True)]
        for n in range(_STRETCHES)
    ]
    steps = [[b - a for a, b in zip(*pair, strict=True)] for pair in itertools.pairwise(means)]
    memory = statistics.quantiles((60 * mb / s for s, mb, _ in steps), n=4)[0]
    widgets = statistics.quantiles((60 * count / s for s, _, count in steps), n=4)[0]
    used.grew = f"{samples[-1][1]:.0f} MB, {memory:+.1f} MB/min, {widgets:+.0f} widgets/min"
    if used.all_pages and memory > _GROWS_MB_A_MIN:
        used.faults.append(f"memory grows by {memory:.1f} MB a minute")
    if used.all_pages and widgets > _GROWS_WIDGETS_A_MIN:
        used.faults.append(f"widgets grow by {widgets:.0f} a minute")


def copied(to: Path) -> Path:
    """A copy of the program with its tests."""
    for name in _COPIED:
        part = _TOP / name
        if part.is_dir():
            shutil.copytree(part, to / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(part, to / name)
    return to


def main() -> None:
    """Use it with every seed, and print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seeds", type=int, default=4)
    parser.add_argument("--only", type=int, help="this seed alone")
    parser.add_argument("--minutes", type=float, default=1.0, help="for each seed")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--keep", type=Path, help="leave everything in this folder")
    asked = parser.parse_args()
    room = asked.keep or Path(tempfile.mkdtemp(prefix="linesim-clicker-"))
    room.mkdir(parents=True, exist_ok=True)
    top = copied(room / "program")
    seeds = [asked.only] if asked.only else range(1, asked.seeds + 1)
    bad = 0
    with ThreadPoolExecutor(asked.processes) as pool:
        runs = [
            pool.submit(use, top, room / f"seed-{seed}", seed, asked.minutes * 60) for seed in seeds
        ]
        for run in runs:
            used = run.result()
            bad += bool(used.faults)
            how = "well" if not used.faults else f"{len(used.faults)} found"
            print(
                f"| {used.seed} | {used.way} | {asked.minutes:g} | {used.actions:,} | {used.grew}"
                f" | {used.threads} / {used.processes} | {how} |",
                flush=True,
            )
            if used.faults:
                print("    " + used.told().replace("\n", "\n    "), flush=True)
    if asked.keep is None:
        shutil.rmtree(room, ignore_errors=True)
    raise SystemExit(1 if bad else 0)


if __name__ == "__main__":
    main()
