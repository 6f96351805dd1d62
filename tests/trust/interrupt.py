"""Presses Ctrl-C at random moments in every command, as a terminal does.

    python tests/trust/interrupt.py --each 3 --seed 1

Each command must end with 130 and a sentence, or have been done already, and never with a
traceback; nothing of it may run on. Prints how each one ended; ends with 1 where it was another
way.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from linesim.commands import main as linesim_command

_TOP = Path(__file__).resolve().parents[2]
_LINE = "line.toml"
_LONG = ("--hours", "100", "--replications", "30", "--processes", "2")
_WORDS: dict[str, tuple[str, ...]] = {
    "run": (_LINE, *_LONG, "--csv", "out"),
    "report": (_LINE, *_LONG, "-o", "report.html"),
    "vary": (_LINE, "crew.size=1,2", *_LONG),
    "compare": (_LINE, "short-bridge", *_LONG),
    "fit-stops": ("stop-log.csv", "--into", _LINE, "--resamples", "2000"),
    "validate": (_LINE, "--against", "production.csv", "--replications", "300"),
    "causes": (),
    "schema": (),
    "plan-orders": ("orders", "--hours", "100", "--replications", "30"),
}
_SECONDS = 6.0


def processes_of(session: int) -> list[int]:
    """Processes of a session that run."""
    shown = subprocess.run(
        ["ps", "-o", "pid=,stat=", "-s", str(session)], capture_output=True, text=True, check=False
    )
    rows = (line.split() for line in shown.stdout.splitlines())
    return [int(row[0]) for row in rows if "Z" not in row[1]]


def interrupted(words: list[str], folder: Path, after_s: float) -> tuple[int, str, list[int]]:
    """Exit code, what was said on the error stream, and processes that ran on."""
    process = subprocess.Popen(
        [sys.executable, "-m", "linesim", *words],
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(_TOP), "XDG_CACHE_HOME": str(folder / "cache")},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    time.sleep(after_s)
    if process.poll() is None:
        os.killpg(process.pid, signal.SIGINT)
    _, said = process.communicate(timeout=120)
    time.sleep(0.5)
    left = processes_of(process.pid)
    for orphan in left:
        os.kill(orphan, signal.SIGKILL)
    return process.returncode, said, left


def main() -> int:
    """Every command, some times each."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--each", type=int, default=3)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", help="one command")
    given = parser.parse_args()
    luck = random.Random(given.seed)
    faults = []
    with tempfile.TemporaryDirectory() as top:
        folder = Path(top)
        shutil.copy(_TOP / "scenarios" / "short-bridge.toml", folder / _LINE)
        for file in (_TOP / "scenarios" / "plant").iterdir():
            shutil.copy(file, folder)
        for name in sorted(linesim_command.commands):
            if given.only not in (None, name):
                continue
            words = [name, *_WORDS.get(name, (_LINE,))]
            ended: Counter[int] = Counter()
            for _ in range(given.each):
                # Python itself, before any line of ours runs, answers as it likes.
                code, said, left = interrupted(words, folder, luck.uniform(0.4, _SECONDS))
                ended[code] += 1
                # Ended by the signal itself (-2) is 130 for a shell: before Python was up, or
                # while it was loading a module that makes code.
                right = code in (0, -2) or (code == 130 and said.strip())
                if not right or "Traceback" in said or left:
                    faults.append(f"{name}: {code}, {len(left)} left, said {said.strip()[-400:]}")
            print(name, dict(ended), flush=True)
    print(*faults, sep="\n")
    return int(bool(faults))


if __name__ == "__main__":
    sys.exit(main())
