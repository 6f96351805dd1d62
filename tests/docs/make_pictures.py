"""Makes all pictures of the manual anew, by the program itself: the same bytes each time.

    python tests/docs/make_pictures.py [NAME ...]

Pictures of the window have few colours and are kept with a palette; charts are SVG, which follows
the reader's light or dark.
"""

from __future__ import annotations

import os
import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image

CLONE = Path(__file__).parents[2]
FOLDER = CLONE / "linesim/manual/pictures"
_COLOURS = 128
_SHORT = "--ask --replications 4 --hours 24"

WINDOW = {
    "shift": "short-bridge --size 1440x900",
    "size-bridge": f"short-bridge --page size-bridge {_SHORT} --size 1280x800",
    "add-wrapper": f"slow-wrapper --page add-wrapper {_SHORT} --size 1280x800",
    "what-to-change": f"short-bridge --page what-to-change {_SHORT} --size 1280x800",
    "plan-orders": "orders --page plan-orders --ask --replications 10 --size 1280x800",
    "lessons": "short-bridge --page lessons --size 1280x800",
}
"""What ``linesim-window`` is given for each picture."""
CHARTS = {
    "line": ("run short-bridge --no-levers --replications 2", "line"),
    "typical-shift": ("run short-bridge --no-levers --replications 2", "shift"),
    "size-bridge-gain": (
        "size-bridge short-bridge --places 14,21,40,60 --no-levels --hours 24 --replications 4",
        "gain",
    ),
    "add-wrapper-tornado": ("add-wrapper slow-wrapper --hours 24 --replications 4", "each-input"),
    "rank-stops": ("rank-stops short-bridge --hours 8 --replications 4", "cost"),
    "probability-paper": (
        "fit-stops scenarios/plant/stop-log.csv --production scenarios/plant/production.csv"
        " --for scenarios/short-bridge.toml",
        "wrapper-jam-restores",
    ),
}
"""The command that draws each chart, and the name that it draws it under."""
RIPPLE = "ripple"
_TURNS = 20
"""Tenths of a second."""
_STEPS = 2
"""So many stops further on stands one that reached every station: that is what is shown."""
NAMES = {
    *(f"{name}.png" for name in (*WINDOW, RIPPLE)),
    *(f"{name}.svg" for name in CHARTS),
}


def _run(module: str, arguments: str, *more: str) -> None:
    environment = os.environ | {"QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(CLONE)}
    command = [sys.executable, "-m", module, *shlex.split(arguments), *more]
    subprocess.run(command, check=True, cwd=CLONE, env=environment, stdout=subprocess.DEVNULL)


def _with_palette(file: Path, name: str) -> None:
    image = Image.open(file).convert("RGB")
    few = image.quantize(_COLOURS, Image.Quantize.MAXCOVERAGE, dither=Image.Dither.NONE)
    few.save(FOLDER / f"{name}.png", optimize=True)


def _bring_a_stop_near(file: Path) -> None:
    """The shift with a stop brought near, as F3 does it."""
    from PySide6.QtCore import QTimer

    import linesim
    from gui.command import application
    from gui.window.main_window import MainWindow
    from gui.window.screenshot import save_when_ready

    app = application("light")
    window = MainWindow(remember=False)
    window.resize(1280, 800)
    window.show()
    window.open_at_start(linesim.scenario.find_scenario("short-bridge"))
    timer = QTimer(window)
    timer.start(100)
    waited = 0

    def step() -> None:
        # Not before everything has found its place.
        nonlocal waited
        waited += window.told
        if waited == _TURNS:
            for _ in range(_STEPS):
                window.step_stop(1)

    timer.timeout.connect(step)
    save_when_ready(window, lambda: waited > 2 * _TURNS, file)
    app.exec()


def make(names: set[str]) -> None:
    """Make the pictures of these file names."""
    FOLDER.mkdir(exist_ok=True)
    with TemporaryDirectory() as folder:
        for name, arguments in WINDOW.items():
            if f"{name}.png" in names:
                file = Path(folder) / "window.png"
                _run("gui", arguments, "--colours", "light", "--picture", str(file))
                _with_palette(file, name)
        if f"{RIPPLE}.png" in names:
            file = Path(folder) / "ripple.png"
            _bring_a_stop_near(file)
            _with_palette(file, RIPPLE)
        for name, (command, drawn) in CHARTS.items():
            if f"{name}.svg" in names:
                charts = Path(folder) / command.replace("/", "-")[:60]
                if not charts.exists():
                    _run("linesim", command, "--pictures", str(charts))
                shutil.copy(charts / f"{drawn}.svg", FOLDER / f"{name}.svg")


if __name__ == "__main__":
    asked = {name for name in NAMES if not sys.argv[1:] or name.split(".")[0] in sys.argv[1:]}
    make(asked)
