"""``linesim-window``: open the window, or make a picture of it."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

import linesim
from gui.work.begin import Begun, begin
from gui.work.talk import Task

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from gui.window.main_window import MainWindow

DEMO = "short-bridge"
_NO_SCREEN = 4
_STOPPED = 130


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
@click.option("--size", type=_Size(), help="Size of the window in pixels, such as 1280x800.")
@click.option(
    "--colours",
    type=click.Choice(["system", "light", "dark"]),
    default="system",
    show_default=True,
    help="Light or dark; unless given, as the system has it.",
)
@click.version_option(linesim.__version__, message="linesim %(version)s")
def window(
    scenario: str | None,
    picture: Path | None,
    page: str | None,
    size: tuple[int, int] | None,
    colours: str,
) -> None:
    """See a line, change it, and watch a stoppage ripple.

    SCENARIO is a path or the name of a demo scenario; unless given, the line with the short
    bridge opens.
    """
    if picture is not None and not picture.absolute().parent.is_dir():
        raise click.UsageError(f"--picture: there is no folder {picture.absolute().parent}")
    # Another process makes the run while this one builds the window to show it in.
    begun = None if _no_screen() else begin_run(scenario or DEMO)
    try:
        path = linesim.scenario.find_scenario(scenario or DEMO)
    except linesim.scenario.ScenarioFaults as faults:
        if begun is not None:
            begun.end()
        click.echo(str(faults), err=True)
        raise SystemExit(2) from None
    if begun is None:
        click.echo(
            "linesim-window: there is no screen here (neither DISPLAY nor WAYLAND_DISPLAY is"
            " set). The command linesim does without one; for a picture of the window set"
            " QT_QPA_PLATFORM=offscreen.",
            err=True,
        )
        raise SystemExit(_NO_SCREEN)
    raise SystemExit(_open(path, begun, picture, page, size, colours))


def begin_run(scenario: str) -> Begun:
    """Start the process for the run on screen, at work already on the run of this scenario."""
    begun = begin("linesim-shift")
    begun.connection.send(Task(0, "ahead", {"scenario": scenario}))
    return begun


def _no_screen() -> bool:
    if not sys.platform.startswith("linux"):
        return False
    return not any(
        os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM")
    )


def _open(
    path: Path,
    begun: Begun,
    picture: Path | None,
    page: str | None,
    size: tuple[int, int] | None,
    colours: str,
) -> int:
    # Qt is loaded only when there is a window to open: faults are said without it.
    from gui.window.endings import Interrupts
    from gui.window.main_window import MainWindow

    app = application(colours)
    interrupts = Interrupts(lambda: _stop(main_window, app), app)
    main_window = MainWindow(remember=picture is None, begun=begun)
    if page is not None:
        main_window.pages.go_to(page)
    if size is not None:
        main_window.resize(*size)
    main_window.show()
    main_window.begin(path)
    outcome = None
    if picture is not None:
        from gui.window.picture import save_when_ready

        outcome = save_when_ready(main_window, lambda: main_window.ready, picture)
    code = _STOPPED if interrupts.heard else app.exec()
    interrupts.close()
    if code != 0 or outcome is None:
        return code
    if not outcome.saved:
        click.echo(f"linesim-window: {outcome.trouble or f'no picture in {picture}'}", err=True)
        return 1
    took = main_window.width(), main_window.height()
    if size is not None and took != size:
        words = "{}x{}: the window needs more room; the picture is of {}x{}"
        click.echo(f"linesim-window: --size {words.format(*size, *took)}.", err=True)
    return 0


def _stop(main_window: MainWindow, app: QApplication) -> None:
    """An interrupt from the keyboard: what is unsaved is kept and offered at the next start."""
    kept = main_window.break_off()
    words = "Stopped. Unsaved work is kept; the next window offers it." if kept else "Stopped."
    click.echo(words, err=True)
    app.exit(_STOPPED)


def application(colours: str = "system") -> QApplication:
    """The application, with its colours set; the one there is, if there is one."""
    from PySide6.QtWidgets import QApplication

    from gui.window.endings import screen_in_words
    from gui.window.fonts import have_letters
    from gui.window.theme import follow_system

    found = QApplication.instance()
    if isinstance(found, QApplication):
        app = found
    else:
        with screen_in_words():
            app = QApplication(sys.argv[:1])
        have_letters(app)
    app.setApplicationName("linesim")
    app.setApplicationDisplayName("linesim")
    app.setApplicationVersion(linesim.__version__)
    follow_system(app, colours)
    return app


def main() -> None:
    """Entry of ``linesim-window``."""
    try:
        raise SystemExit(window.main(standalone_mode=False))
    except click.ClickException as error:
        error.show()
        raise SystemExit(error.exit_code) from None
    except click.Abort:
        # An interrupt, before the window was there to hear of it.
        raise KeyboardInterrupt from None


if __name__ == "__main__":
    main()
