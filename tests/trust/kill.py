"""Ends the program by force at random moments, and looks at what is left.

    python tests/trust/kill.py --kills 50 --seed 1

Kills fall on studies with two processes, saves, exports, imports and an open window with unsaved
work. After each one: every file is the old one or the new one and can be read; no process is left
running; a study goes on from what it kept, and in the end its answer is that of a study nobody
disturbed, byte for byte; the window's work is offered, not older than two seconds. The program is
copied first, so that it may be edited meanwhile. Ends with 1 where something is not so.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import signal
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Generator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

import linesim

_TOP = Path(__file__).resolve().parents[2]
_PATIENCE_S = 300.0
_GONE_AFTER_S = 10.0
_WORK_LOST_S = 2.0
_TURNS = ("study", "save", "study", "export", "window", "study", "import", "window")
_STUDIES = (
    ("vary", "crew.size=1,2,3", "--hours", "16", "--replications", "4"),
    ("rank-stops", "--hours", "1", "--replications", "2"),
    ("size-bridge", "--places", "6,20,60", "--no-levels", "--hours", "12", "--replications", "4"),
)


@dataclass
class House:
    """Where the program's copy and everything it writes are."""

    top: Path
    luck: random.Random
    faults: list[str] = field(default_factory=list)
    seconds: dict[str, float] = field(default_factory=dict)

    def room(self, name: str) -> Path:
        """A folder with a line in it, made if need be."""
        made = self.top / name
        if not made.exists():
            made.mkdir()
            demo = (self.top / "scenarios" / "short-bridge.toml").read_text("utf-8")
            # Victims set the places alone: a length beside them would have to agree.
            size = {"bridge.length_m": None, "bridge.places": 21}
            (made / "line.toml").write_text(linesim.scenario.update(demo, size), "utf-8")
        return made

    def start(self, *words: str | Path) -> subprocess.Popen[bytes]:
        """The program, in a session of its own."""
        return subprocess.Popen(
            [sys.executable, *map(str, words)],
            cwd=self.top,
            env=os.environ
            | {
                "PYTHONPATH": str(self.top),
                "QT_QPA_PLATFORM": "offscreen",
                "XDG_STATE_HOME": str(self.top / "state"),
                "XDG_CACHE_HOME": str(self.top / "cache"),
                "XDG_CONFIG_HOME": str(self.top / "config"),
            },
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            bufsize=0,
            start_new_session=True,
        )

    def finish(self, *words: str | Path) -> float:
        """Run it to its end; seconds it took."""
        began = time.monotonic()
        process = self.start(*words)
        _, said = process.communicate(timeout=_PATIENCE_S)
        if process.returncode != 0:
            self.faults.append(
                f"{words[:4]} ended with {process.returncode}: {said[-300:].decode()}"
            )
        return time.monotonic() - began

    def kill(self, process: subprocess.Popen[bytes]) -> tuple[bool, str]:
        """Kill the process alone; whether it was still running, and what it had printed."""
        alive = process.poll() is None
        process.kill()
        process.wait()
        end = time.monotonic() + _GONE_AFTER_S
        while (left := session(process.pid)) and time.monotonic() < end:
            time.sleep(0.05)
        for orphan in left:
            self.faults.append(f"process {orphan} of a killed one ran on")
            os.kill(orphan, signal.SIGKILL)
        printed, _ = process.communicate()
        return alive, printed.decode()


def session(leader: int) -> list[int]:
    """Processes of a session that still run."""
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                parts = (entry / "stat").read_text().rpartition(")")[2].split()
            except OSError:
                continue
            if int(parts[3]) == leader and parts[0] not in "ZX":
                found.append(int(entry.name))
    return found


def studies(house: House) -> Generator[bool, None, None]:
    """Each study is killed twice on its way, then comes to its end."""
    for turn in range(10_000):
        words = _STUDIES[turn % len(_STUDIES)]
        room = house.room(f"study {turn}")
        kept = room / "kept.sqlite"
        command = ("-m", "linesim", words[0], room / "line.toml", *words[1:], "--processes", "2")
        undisturbed = house.top / f"{words[0]}.json"
        if words[0] not in house.seconds:
            house.seconds[words[0]] = house.finish(*command, "--json", undisturbed)
        asked = (*command, "--keep", kept, "--json", room / "answer.json")
        runs = 0
        try:
            for _ in range(2):
                process = house.start(*asked)
                time.sleep(house.luck.uniform(0.3, 1.0) * house.seconds[words[0]])
                alive, _ = house.kill(process)
                now = whole_study(house, kept)
                if now < runs:
                    house.faults.append(f"{kept}: held {runs} runs, then {now}")
                runs = now
                yield alive
        finally:
            house.finish(*asked)
            if (room / "answer.json").read_bytes() != undisturbed.read_bytes():
                house.faults.append(f"{room}: not the answer of a study nobody disturbed")


def whole_study(house: House, kept: Path) -> int:
    """How many runs a study file holds; a fault where it is not whole."""
    if not kept.exists() or not kept.stat().st_size:
        return 0
    with closing(sqlite3.connect(kept)) as db:
        if db.execute("PRAGMA integrity_check").fetchall() != [("ok",)]:
            house.faults.append(f"{kept}: not whole")
        if not db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
            return 0
        return int(db.execute("SELECT count(*) FROM run").fetchone()[0])


def killed(house: House, act: str, room: Path, longest_s: float) -> tuple[bool, str]:
    """Start a victim, wait until it has begun, kill it at a random moment."""
    process = house.start(house.top / "victims.py", act, room)
    assert process.stdout is not None
    while (line := process.stdout.readline()) and line != b"begin\n":
        pass
    time.sleep(house.luck.uniform(0, longest_s))
    return house.kill(process)


def saves(house: House) -> Generator[bool, None, None]:
    """The file of a document that is saved without end."""
    room = house.room("saves")
    text = (room / "line.toml").read_text("utf-8")
    right = {linesim.scenario.update(text, {"bridge.places": places}) for places in (20, 21)} | {
        text
    }
    while True:
        alive, _ = killed(house, "save", room, 0.5)
        if (room / "line.toml").read_bytes().decode() not in right:
            house.faults.append("a saved scenario is neither old nor new")
        linesim.scenario.load(room / "line.toml")
        yield alive


def exports(house: House) -> Generator[bool, None, None]:
    """Tables, JSON and reports that are written without end."""
    room = house.room("exports")
    house.finish(house.top / "victims.py", "export-once", room)
    right: dict[str, set[bytes]] = {}
    for path in [*(room / "1").iterdir(), *(room / "2").iterdir()]:
        right.setdefault(path.name, set()).add(path.read_bytes())
    while True:
        alive, _ = killed(house, "export", room, 1.0)
        for path in (room / "out").iterdir():
            if not path.name.startswith(".") and path.read_bytes() not in right[path.name]:
                house.faults.append(f"{path.name} is neither old nor new")
        yield alive


def imports(house: House) -> Generator[bool, None, None]:
    """``fit-stops --into``, killed somewhere on its way."""
    room = house.room("imports")
    file, old = room / "line.toml", (room / "line.toml").read_bytes()
    log = house.top / "scenarios" / "plant" / "stop-log.csv"
    words = ("-m", "linesim", "fit-stops", log, "--into", file, "--resamples", "20")
    took = house.finish(*words)
    new = file.read_bytes()
    while True:
        file.write_bytes(old)
        process = house.start(*words)
        time.sleep(house.luck.uniform(0.5, 1.1) * took)
        alive, _ = house.kill(process)
        if file.read_bytes() not in (old, new):
            house.faults.append("a scenario that was imported into is neither old nor new")
        linesim.scenario.load(file)
        yield alive


def windows(house: House) -> Generator[bool, None, None]:
    """A window with unsaved work, that begins with the work of the one killed before it."""
    from gui.document import recoverable

    room = house.room("windows")
    text = (room / "line.toml").read_bytes()
    while True:
        alive, printed = killed(house, "window", room, 4.0)
        typed = [int(line) for line in printed.split() if line.isdigit()]
        offered = recoverable(house.top / "state" / "linesim" / "recovery")
        newest = [
            linesim.scenario.parse(work.text, "work")[0]["bridge"]["places"] for work in offered
        ]
        # Twenty are typed in a second.
        if (
            len(typed) > 20 * _WORK_LOST_S
            and max(newest, default=0) < typed[-1] - 20 * _WORK_LOST_S
        ):
            house.faults.append(f"typed up to {typed[-1]}, offered: {newest}")
        if len(offered) > 1:
            house.faults.append(f"{len(offered)} copies of the same work are offered")
        if (room / "line.toml").read_bytes() != text:
            house.faults.append("a scenario nobody saved was changed")
        yield alive


def main() -> int:
    """Kill, look, count."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--kills", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        house = House(Path(folder).resolve(), random.Random(given.seed))
        for name in ("linesim", "gui", "scenarios"):
            shutil.copytree(_TOP / name, house.top / name, ignore=lambda *_: {"__pycache__"})
        shutil.copy(_TOP / "tests" / "trust" / "victims.py", house.top)
        kinds: dict[str, Generator[bool, None, None]] = {
            "study": studies(house),
            "save": saves(house),
            "export": exports(house),
            "import": imports(house),
            "window": windows(house),
        }
        hit, missed = Counter[str](), Counter[str]()
        for number in range(given.kills):
            kind = _TURNS[number % len(_TURNS)]
            (hit if next(kinds[kind]) else missed)[kind] += 1
            print(number + 1, kind, *house.faults, sep="; ", flush=True)
        # A study that was killed comes to its end.
        kinds["study"].close()
    print("killed", dict(hit), "ended before", dict(missed), f"{len(house.faults)} faults")
    for fault in house.faults:
        print(" ", fault)
    return int(bool(house.faults))


if __name__ == "__main__":
    sys.exit(main())
