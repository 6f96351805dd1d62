"""What is killed: each act goes on for ever, or to its end, in a process of its own."""

from __future__ import annotations

import itertools
import os
import sys
from collections.abc import Callable
from pathlib import Path

import linesim


def save(folder: Path) -> None:
    """Open a scenario, change it, save it; again and again."""
    from gui.document import Document

    document = Document()
    document.open(folder / "line.toml")
    begin()
    for number in itertools.count():
        document.set_field("bridge.places", 20 + number % 2)
        document.save()


def export(folder: Path) -> None:
    """Write tables, JSON and both reports of two runs in turn."""
    made = [results(folder, seed) for seed in (1, 2)]
    begin()
    for each in itertools.cycle(made):
        write(folder / "out", *each)


def export_once(folder: Path) -> None:
    """What there is to write, in folders 1 and 2."""
    for seed in (1, 2):
        write(folder / str(seed), *results(folder, seed))


def write(folder: Path, result: linesim.studies.Replicated, html: bytes, pdf: bytes) -> None:
    """Everything a run can be written as."""
    from linesim.report.as_json import json_text
    from linesim.report.csv_folder import write_folder

    write_folder(folder, linesim.simulate(result.scenario, seed=result.seed, hours=0.5))
    linesim.files.write_bytes(folder / "run.json", json_text(result).encode())
    linesim.files.write_bytes(folder / "report.html", html)
    linesim.files.write_bytes(folder / "report.pdf", pdf)


def results(folder: Path, seed: int) -> tuple[linesim.studies.Replicated, bytes, bytes]:
    """A run with its report in both forms."""
    text = (folder / "line.toml").read_text("utf-8")
    scenario = linesim.scenario.check_text(text, file="line.toml")
    result = linesim.studies.replicate(scenario, replications=2, seed=seed, hours=0.5)
    page = linesim.report.report_page(scenario, result, [], text=text)
    return result, page.html().encode(), page.pdf()


def window(folder: Path) -> None:
    """A window in which somebody types: a new number of places every 50 ms, said when it is in."""
    from PySide6.QtCore import QTimer

    from gui import dialogs
    from gui.command import application
    from gui.window.files import TAKE_UP
    from gui.window.main_window import MainWindow

    app = application("light")
    # Unsaved work that is offered is taken up.
    dialogs.choose = lambda *_, **__: TAKE_UP
    main_window = MainWindow()
    main_window.show()
    main_window.open_at_start(folder / "line.toml")
    places = itertools.count(int(main_window.document.value("bridge.places") or 20) + 1)

    def typed() -> None:
        number = next(places)
        main_window.document.set_field("bridge.places", number)
        os.write(1, f"{number}\n".encode())

    timer = QTimer()
    timer.timeout.connect(typed)
    timer.start(50)
    begin()
    app.exec()


def begin() -> None:
    """Say that from here on a kill counts."""
    os.write(1, b"begin\n")


VICTIMS: dict[str, Callable[[Path], None]] = {
    "save": save,
    "export": export,
    "export-once": export_once,
    "window": window,
}

if __name__ == "__main__":
    VICTIMS[sys.argv[1]](Path(sys.argv[2]))
