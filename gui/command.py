"""``linesim-window``: open the window, or make a picture of it."""

from __future__ import annotations

import gc
import os
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

import linesim
from gui import desktop_entry
from gui.work.messages import TaskRequest
from gui.work.worker_process import WorkerProcess, start_worker_process

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from gui.pages import StudyPage
    from gui.window.main_window import MainWindow

DEMO = "short-bridge"
_NO_SCREEN = 4
_STOPPED = 130
_CLOSE = "Close"


@dataclass(frozen=True)
class Asked:
    """What is set of a study before it starts; None as its page has it."""

    replications: int | None
    hours: float | None


class _Size(click.ParamType):
    """Width and height in pixels, as 1280x800."""

    name = "WIDTHxHEIGHT"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[int, int]:
        if isinstance(value, tuple):
            return value
        width, cross, height = str(value).partition("x")
        if not (cross and width.isdigit() and height.isdigit()):
            self.fail(f"{value!r} is no size; write it as 1280x800", param, ctx)
        size = int(width), int(height)
        if not all(200 <= side <= 10_000 for side in size):
            self.fail(f"{value}: each side must be from 200 to 10000 pixels", param, ctx)
        return size


class _Page(click.ParamType):
    """The name of a page, as ``gui.window.page_list`` has it."""

    name = "NAME"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> str:
        from gui.window.page_list import PAGES

        if value not in PAGES:
            self.fail(f"there is no page {value!r}; there are {', '.join(PAGES)}", param, ctx)
        return str(value)


@click.command(context_settings={"help_option_names": ["-h", "--help"]})
@click.argument("scenario", metavar="[SCENARIO]", required=False)
@click.option(
    "--picture",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE",
    help="Save a picture (PNG) of the window when its figures are in, and end.",
)
@click.option("--page", type=_Page(), help="The page to begin with, such as shift or losses.")
@click.option(
    "--ask", is_flag=True, help="Start the study of that page; the picture waits for its answer."
)
@click.option("--replications", type=click.IntRange(2), help="Runs of each variant, with --ask.")
@click.option("--hours", type=click.FloatRange(min=1), help="Hours of each run, with --ask.")
@click.option("--size", type=_Size(), help="Size of the window in pixels, such as 1280x800.")
@click.option(
    "--colours",
    type=click.Choice(["system", "light", "dark"]),
    help="Light or dark; unless given, as the View menu has it, or else the system.",
)
@click.option(
    "--desktop-entry",
    "entry",
    type=click.Choice(["put", "remove"]),
    help="Put the window among the programs of this desktop, or take it out, and do nothing else.",
)
@click.version_option(linesim.__version__, message="linesim %(version)s")
def window(
    scenario: str | None,
    picture: Path | None,
    page: str | None,
    ask: bool,
    replications: int | None,
    hours: float | None,
    size: tuple[int, int] | None,
    colours: str | None,
    entry: str | None,
) -> None:
    """See a line, change it, and watch a stoppage ripple.

    SCENARIO is a path or the name of a demo scenario; unless given, the line with the short
    bridge opens.
    """
    if entry is not None:
        _change_desktop(entry)
        return
    if picture is not None and not picture.absolute().parent.is_dir():
        raise click.UsageError(f"--picture: there is no folder {picture.absolute().parent}")
    if ask and page not in linesim.questions.STUDIES:
        raise click.UsageError("--ask: name the page of a study with --page, such as size-bridge")
    if not ask and (replications or hours):
        raise click.UsageError("--replications and --hours are of the study that --ask starts")
    # Another process makes the run while this one builds the window to show it in.
    there = linesim.platforms.has_screen(os.environ)
    shift_process = prefetch_run(scenario or DEMO) if there else None
    try:
        path = linesim.scenario.find_scenario(scenario or DEMO)
    except linesim.scenario.ScenarioFaults as faults:
        if shift_process is not None:
            shift_process.terminate()
        _say(str(faults))
        raise SystemExit(2) from None
    if shift_process is None:
        click.echo(
            "linesim-window: there is no screen here (neither DISPLAY nor WAYLAND_DISPLAY is"
            " set). The command linesim does without one; for a picture of the window set"
            " QT_QPA_PLATFORM=offscreen.",
            err=True,
        )
        raise SystemExit(_NO_SCREEN)
    asked = Asked(replications, hours) if ask else None
    raise SystemExit(_open(path, shift_process, picture, page, asked, size, colours))


def prefetch_run(scenario: str) -> WorkerProcess:
    """Start the process for the run on screen, at work already on the run of this scenario."""
    shift_process = start_worker_process("linesim-shift")
    shift_process.connection.send(TaskRequest(0, "prefetch", {"scenario": scenario}))
    return shift_process


def load_window() -> type[MainWindow]:
    """Import the window's modules.

    They stay as long as the program: no collection of garbage looks at them while they are
    made, an eighth of the time to the first picture, nor later, when each look at them all
    would hold the window up for longer than a frame.
    """
    collecting = gc.isenabled()
    gc.disable()
    from gui.window.main_window import MainWindow

    gc.freeze()
    if collecting:
        gc.enable()
    return MainWindow


def _change_desktop(wanted: str) -> None:
    if not linesim.platforms.HAS_ENTRIES:
        raise click.UsageError(
            "--desktop-entry: this system has no desktop entries; make a shortcut to the command"
        )
    try:
        if wanted == "put":
            command = linesim.platforms.command_of("linesim-window", "gui")
            files, what = desktop_entry.put(command), "Written"
        else:
            files, what = desktop_entry.remove(), "Removed"
    except OSError as error:
        raise click.FileError(str(error.filename), error.strerror) from None
    for file in files:
        click.echo(f"{what}: {file}")


def _open(
    path: Path,
    shift_process: WorkerProcess,
    picture: Path | None,
    page: str | None,
    asked: Asked | None,
    size: tuple[int, int] | None,
    colours: str | None,
) -> int:
    linesim.log_file.note_start()
    linesim.log_file.note_crashes()
    # Qt is loaded only when there is a window to open: faults are said without it.
    window_class = load_window()
    from gui.look import COLOURS, TEXT_SIZES
    from gui.window.abnormal_exit import InterruptHandler
    from gui.window.fault_notice import FaultNotice
    from gui.window.window_settings import WindowSettings

    settings = WindowSettings(remember=picture is None)
    app = application(
        colours or settings.choice("colours", COLOURS), settings.choice("text size", TEXT_SIZES)
    )
    interrupts = InterruptHandler(lambda: _stop(main_window, app), app)
    main_window = window_class(remember=picture is None, shift_process=shift_process)
    faults = FaultNotice(main_window)
    if page is not None:
        main_window.pages.go_to(page)
    if size is not None:
        main_window.resize(*size)
    main_window.show()
    main_window.open_at_start(path)
    study = None if asked is None else _ask(main_window, asked)
    outcome = None
    if picture is not None:
        from gui.window.screenshot import ANSWER_PATIENCE_MS, PATIENCE_MS, save_when_ready

        outcome = save_when_ready(
            main_window,
            lambda: main_window.told and not (study and study.busy),
            picture,
            PATIENCE_MS if study is None else ANSWER_PATIENCE_MS,
        )
    code = _STOPPED if interrupts.heard else app.exec()
    interrupts.close()
    faults.close()
    linesim.log_file.note_end()
    if code != 0 or outcome is None:
        return code
    if not outcome.saved:
        click.echo(f"linesim-window: {outcome.error or f'no picture in {picture}'}", err=True)
        return 1
    if study is not None and study.result is None:
        words = study.refusal or "there was none in time"
        click.echo(f"linesim-window: --ask: no answer: {words}", err=True)
        return 1
    took = main_window.width(), main_window.height()
    if size is not None and took != size:
        words = "{}x{}: the window needs more room; the picture is of {}x{}"
        click.echo(f"linesim-window: --size {words.format(*size, *took)}.", err=True)
    return 0


def _say(words: str) -> None:
    """Say why no window opens; in a message where a file was opened from the desktop."""
    if linesim.platforms.has_terminal():
        click.echo(words, err=True)
        return
    from gui.dialogs import choose

    application()
    choose(None, "linesim", words, _CLOSE, default=_CLOSE, escape=_CLOSE)


def _ask(main_window: MainWindow, asked: Asked) -> StudyPage:
    """Start the study of the page that is shown."""
    from gui.pages import StudyPage

    page = main_window.pages.current
    assert isinstance(page, StudyPage)
    if asked.replications is not None:
        page.settings.runs.setValue(asked.replications)
    if asked.hours is not None:
        page.settings.hours.setValue(asked.hours)
    page.start()
    return page


def _stop(main_window: MainWindow, app: QApplication) -> None:
    """An interrupt from the keyboard: what is unsaved is kept and offered at the next start."""
    kept = main_window.abort()
    words = "Stopped. Unsaved work is kept; the next window offers it." if kept else "Stopped."
    click.echo(words, err=True)
    app.exit(_STOPPED)


def application(colours: str = "system", text_size: str = "normal") -> QApplication:
    """The application, with its look set; the one there is, if there is one."""
    from PySide6.QtWidgets import QApplication

    from gui.look import ensure_usable_font, program_icon, use_colours, use_text_size
    from gui.window.abnormal_exit import explain_missing_screen

    found = QApplication.instance()
    if isinstance(found, QApplication):
        app = found
    else:
        with explain_missing_screen():
            app = QApplication(sys.argv[:1])
        ensure_usable_font(app)
    app.setApplicationName("linesim")
    app.setApplicationDisplayName("linesim")
    app.setApplicationVersion(linesim.__version__)
    app.setWindowIcon(program_icon())
    use_colours(app, colours)
    use_text_size(app, text_size)
    return app


def main() -> None:
    """Entry of ``linesim-window``."""
    try:
        raise SystemExit(window.main(standalone_mode=False))
    except click.ClickException as error:
        if linesim.platforms.has_terminal():
            error.show()
        else:
            _say(error.format_message())
        raise SystemExit(error.exit_code) from None
    except click.Abort:
        # An interrupt, before the window was there to hear of it.
        raise KeyboardInterrupt from None


if __name__ == "__main__":
    main()
