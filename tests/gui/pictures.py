"""Pictures of every page of the window, in every look, with its questions asked.

    QT_QPA_PLATFORM=offscreen python tests/gui/pictures.py FOLDER [--scenes shift rank-stops]

To be looked at one by one: a page that is right in one size or theme may be wrong in another. A
folder for each look holds one file for each scene; what stands in a window of its own is taken by
itself, on a screen of that size. For twice the density set ``QT_SCALE_FACTOR=2`` and name one size:
``--looks 1280x800``. Prints the scenes as they are taken and fails nobody.
"""

from __future__ import annotations

import argparse
import json
import os
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

from dialog_scenes import DialogScenes
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication, QWidget

import linesim
from gui.command import DEMO, application
from gui.lessons import LessonsPage
from gui.lessons.answer_edit import AnswerEdit
from gui.logs import StopLogPage
from gui.look import use_colours, use_text_size
from gui.pages import StudyPage
from gui.window.main_window import MainWindow
from gui.window.page_list import PAGES
from gui.window.screenshot import save_picture

LOOKS = ("1280x800", "1920x1080", "1024x700", "1280x800-dark", "1920x1080-dark")
_PATIENCE_S = 600
_TO_OPEN_MS = 400
_RUNS, _HOURS = 4, 24.0
_PLANT = Path(__file__).parents[2] / "scenarios/plant"
_ANSWERS = (0.29, 300.0, 1.25, 9.0, 0.0)
"""To the lessons that come with the program: some are right."""
_OPTIONS = {
    "meet-target": {"reams_per_week": 330_000.0},
    "plan-changes": {"cause": "label printer", "change_min": 1.0},
    "vary": {"fields": ("bridge.places=10,40",)},
    "size-bridge": {"places": "14,21,40,60"},
    "forecast": {"until": "14:40", "target": "4000"},
    "validate": {
        "against": str(_PLANT / "production.csv"),
        "log": str(_PLANT / "stop-log.csv"),
    },
}


class Photographer:
    """Brings the window into a state and takes it in every look."""

    def __init__(self, folder: Path, looks: list[str], scenes: list[str], scenario: Path) -> None:
        self.folder, self.looks, self.scenes, self.scenario = folder, looks, scenes, scenario
        self.app: QApplication = application("light")
        self.window = MainWindow(remember=False)
        self.window.show()
        self.open(scenario)

    def wait(self, done: Callable[[], object]) -> None:
        """Turn the event loop until ``done()``, and a little longer: layouts settle after it."""
        until = time.monotonic() + _PATIENCE_S
        while not done() and time.monotonic() < until:
            self._turn()
        for _ in range(20):
            self._turn()

    def _turn(self) -> None:
        self.app.processEvents()
        time.sleep(0.002)

    def open(self, scenario: Path) -> None:
        """Another line, with its run told to the end."""
        window = self.window
        if window.document.path != scenario:
            before = window.shown.record
            window.workspace.open(scenario)
            self.wait(lambda: window.shown.record is not before and window.told)

    def wanted(self, scene: str) -> bool:
        """Whether this scene is asked for, by its name or by the beginning of it."""
        return not self.scenes or any(scene.startswith(each) for each in self.scenes)

    def take(self, scene: str, part: QWidget | None = None) -> None:
        """Save what the window shows, once for each look; with ``part`` of the page on screen."""
        if not self.wanted(scene):
            return
        for look in self.looks:
            self._dress(look)
            if part is not None:
                self.window.pages.bring_into_view(part)
                self.wait(lambda: True)
            save_picture(self.window, self._file(look, scene))
        print(scene, flush=True)

    def take_beside(
        self, scene: str, ask: Callable[[], object], done: Callable[[], object] = lambda: True
    ) -> None:
        """Save what ``ask`` opens beside the window, for each look, and leave it unanswered.

        Where it works at something the picture is of when that is ``done``.
        """
        if not self.wanted(scene):
            return
        for look in self.looks:
            self._dress(look)
            # A question holds up whoever asks it, not the timer.
            timer = QTimer(singleShot=True, interval=_TO_OPEN_MS)
            timer.timeout.connect(partial(self._take_opened, self._file(look, scene), done))
            timer.start()
            ask()
            self.wait(lambda timer=timer: not timer.isActive() and not self._beside())
        print(scene, flush=True)

    def _take_opened(self, file: Path, done: Callable[[], object]) -> None:
        self.wait(done)
        opened = self._beside()
        if opened:
            save_picture(opened[-1], file)
        for each in opened:
            each.close()

    def _beside(self) -> list[QWidget]:
        shown = (each for each in self.app.topLevelWidgets() if each.isVisible())
        return [each for each in shown if each is not self.window]

    def keep(self, scene: str, png: bytes) -> None:
        """Save a picture that is the same in every look."""
        self._file(self.looks[0], scene).write_bytes(png)
        print(scene, flush=True)

    def _dress(self, look: str) -> None:
        width, height = size_of(look)
        use_colours(self.app, "dark" if "dark" in look else "light")
        use_text_size(self.app, "much larger" if "larger" in look else "normal")
        self.window.resize(width, height)
        self.wait(lambda: True)

    def _file(self, look: str, scene: str) -> Path:
        to = self.folder / look
        to.mkdir(parents=True, exist_ok=True)
        return to / f"{scene}.png"

    # -- scenes -----------------------------------------------------------------------------

    def shift(self) -> None:
        """The first screen, and what its stops make of it."""
        window = self.window
        window.pages.go_to("shift")
        self.take("shift")
        if window.form_dock.isVisible():
            # Where the window is too narrow it makes way by itself.
            window.form_dock.hide()
            self.take("shift-form-folded")
            window.form_dock.show()
        for number in range(1, 4):
            window.step_stop(1)
            self.take(f"shift-stop-{number}")
        window.pages.shift.strip.back_to_all()
        if self.wanted("shift-forced"):
            self.force_stop()
            self.take("shift-forced")
            self.take_out()

    def force_stop(self) -> None:
        """Put a stop of the wrapper into the run on screen."""
        window = self.window
        before = window.shown.record
        station = window.document.scenario.wrapper[-1].name  # type: ignore[union-attr]
        window.runs.force((linesim.ForcedStop(station=station, at_h=2, minutes=6),))
        self.wait(lambda: window.shown.record is not before and window.told)

    def take_out(self) -> None:
        """The run as it is without it."""
        self.window.runs.take_out()
        self.wait(lambda: not self.window.shown.forced and self.window.told)

    def study(self, name: str) -> None:
        """A study before it is asked, with its settings, and each chart and table of its answer."""
        scenario = "orders" if name == "plan-orders" else None
        self.open(linesim.scenario.find_scenario(scenario) if scenario else self.scenario)
        self.window.pages.go_to(name)
        page = self.window.pages.current
        assert isinstance(page, StudyPage)
        self.take(f"{name}-0-before")
        page.options.set_values(_OPTIONS.get(name, {}))
        if name == "forecast":
            state = linesim.scenario.find_scenario(DEMO).parent / "states/short-bridge.toml"
            page.options.set_values({"state": str(state)})
        if page.others is not None:
            page.others.add(linesim.scenario.find_scenario("two-wrappers"))
        page.settings.runs.setValue(_RUNS)
        page.settings.hours.setValue(_HOURS)
        page.show_options.setChecked(True)
        self.take(f"{name}-1-settings")
        page.start()
        self.wait(lambda: not page.busy)
        if page.refusal:
            print(f"{name}: {page.refusal}")
        view = page.answer_view
        self.take(f"{name}-2-answer")
        for number in range(1, view.charts.count()):
            view.charts.setCurrentIndex(number)
            self.take(f"{name}-3-chart-{number}")
        view.charts.setCurrentIndex(0)
        for number in range(view.tables.count()):
            view.tables.setCurrentIndex(number)
            self.take(f"{name}-4-table-{number}", view.tables)

    def stop_log(self) -> None:
        """The plant's log read, with its options, then each tab and each picture of its fits."""
        window = self.window
        window.pages.go_to("fit-stops")
        page = window.pages.current
        assert isinstance(page, StopLogPage)
        self.take("fit-stops-0-before")
        page.example.click()
        self.wait(lambda: not page.work.busy)
        self.take("fit-stops-1-read")
        page.show_options.setChecked(True)
        self.take("fit-stops-2-options")
        page.show_options.setChecked(False)
        page.fit()
        self.wait(lambda: not page.work.busy)
        tabs = page.tabs
        for number in range(tabs.count()):
            if tabs.isTabEnabled(number):
                tabs.setCurrentIndex(number)
                self.take(f"fit-stops-3-tab-{number}")
        tabs.setCurrentWidget(page.tabs.fits)
        for number in range(1, page.tabs.fits.pictures.count()):
            page.tabs.fits.pictures.setCurrentIndex(number)
            self.take(f"fit-stops-4-picture-{number}")
        page.write_fits()
        self.take("fit-stops-5-written")
        window.document.undo()

    def lessons(self) -> None:
        """Each lesson asked, answered, and told, with all that shows why."""
        self.window.pages.go_to("lessons")
        page = self.window.pages.current
        assert isinstance(page, LessonsPage)
        for number, attempt in enumerate(page.course.attempts, 1):
            page.chooser.setCurrentIndex(number - 1)
            self.wait(lambda attempt=attempt: attempt.quiet)
            self.take(f"lessons-{number}-asked")
            edit = page.findChild(AnswerEdit)
            assert edit is not None
            edit.setValue(_ANSWERS[number - 1])
            page.go_on()
            self.take(f"lessons-{number}-running")
            self.wait(lambda attempt=attempt: not attempt.running)
            self.take(f"lessons-{number}-told")
            for tab in range(1, page.picture.count()):
                page.picture.setCurrentIndex(tab)
                self.take(f"lessons-{number}-told-{tab}")
            page.picture.setCurrentIndex(0)

    def all(self) -> None:
        """Every scene that is asked for."""
        for name in PAGES:
            if not (self.wanted(name) or any(each.startswith(name) for each in self.scenes)):
                continue
            if name == "shift":
                self.shift()
            elif name == "fit-stops":
                self.stop_log()
            elif name == "lessons":
                self.lessons()
            elif name in linesim.questions.STUDIES:
                self.study(name)
            else:
                self.window.pages.go_to(name)
                self.take(name)
        self.open(self.scenario)
        self.window.pages.go_to("shift")
        DialogScenes(self).all()

    def close(self) -> None:
        """End the window and its processes, without a question."""
        self.window.document.new()
        for page in self.window.pages.findChildren(LessonsPage):
            page.course.unsaved = 0
        self.window.pool.close()
        self.window.close()


def size_of(look: str) -> tuple[int, int]:
    """Width and height of a look, px."""
    width, height = look.split("-")[0].split("x")
    return int(width), int(height)


def use_screen(looks: list[str]) -> None:
    """A screen as large as the looks, for windows that have the sizes that it leaves them."""
    density = float(os.environ.get("QT_SCALE_FACTOR", "1"))
    width, height = (
        round(density * max(sides)) for sides in zip(*map(size_of, looks), strict=True)
    )
    screen = {"name": "0", "x": 0, "y": 0, "width": width, "height": height}
    screen |= {"logicalDpi": 96, "logicalBaseDpi": 96, "dpr": 1}
    file = Path(tempfile.mkdtemp()) / "screen.json"
    file.write_text(json.dumps({"screens": [screen]}), encoding="utf-8")
    os.environ["QT_QPA_PLATFORM"] = f"offscreen:configfile={file}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--looks", nargs="+", default=list(LOOKS), metavar="WxH[-dark][-larger]")
    parser.add_argument("--scenes", nargs="+", default=[], help="names, or how they begin")
    parser.add_argument("--scenario", default=DEMO)
    args = parser.parse_args()
    scenario = linesim.scenario.find_scenario(args.scenario)
    use_screen(args.looks)
    taken = Photographer(args.folder, args.looks, args.scenes, scenario)
    try:
        taken.all()
    finally:
        taken.close()


if __name__ == "__main__":
    main()
