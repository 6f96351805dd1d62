"""``linesim about``: what is installed here, whether it works, where it keeps things."""

from __future__ import annotations

from pathlib import Path

import click

from linesim import folders
from linesim.commands.exit_codes import FAULT_OF_THE_PROGRAM
from linesim.platforms import refresh_desktop

_ALL = "all"


@click.command()
@click.option(
    "-o",
    "--output",
    type=click.Path(dir_okay=False, path_type=Path),
    metavar="FILE",
    help="Write it to FILE, with the log of faults: what to send when something is wrong.",
)
@click.option("--check/--no-check", default=True, help="Whether to make the self-check.")
@click.option(
    "--remove",
    type=click.Choice([*folders.KEPT, _ALL]),
    multiple=True,
    help="Remove what the program keeps, and do nothing else. All: before it is uninstalled.",
)
@click.pass_context
def about(ctx: click.Context, output: Path | None, check: bool, remove: tuple[str, ...]) -> None:
    """Say what is installed here, whether it gives the known figures, and where it keeps things.

    The self-check runs the demo lines by both engines and compares the figures with known ones and
    with each other; where any differ the command ends with 1. --remove all leaves copies of
    unsaved work where they are; your own files are never touched.

    \b
        linesim about
        linesim about -o for-the-fault-report.txt
        linesim about --remove caches
    """
    if remove:
        _remove(remove)
        return
    from linesim.about import facts, fault_report
    from linesim.files import write_text

    found = facts(check=check)
    if output is None:
        click.echo(found.text, nl=False)
    else:
        write_text(output, fault_report(found))
        click.echo(f"Written: {output}")
    if found.check is not None and not found.check.passed:
        click.echo("linesim: this machine does not give the known figures", err=True)
        ctx.exit(FAULT_OF_THE_PROGRAM)


def _remove(kinds: tuple[str, ...]) -> None:
    unsaved = any(folders.recovery_folder().glob("*.json"))
    for kind in folders.KEPT if _ALL in kinds else kinds:
        if kind == folders.UNSAVED and unsaved and kind not in kinds:
            click.echo(f"Left: unsaved work of a window in {folders.recovery_folder()}")
            continue
        gone = list(folders.remove(folders.places(kind)))
        for place in gone:
            click.echo(f"Removed: {place}")
        if kind == folders.ENTRY and gone:
            refresh_desktop(folders.desktop_folder())
