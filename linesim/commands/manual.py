"""``linesim manual``: all there is to read."""

from __future__ import annotations

from pathlib import Path

import click

from linesim.commands.run_options import refuse_bad_file


@click.command()
@click.argument("chapter", default="")
@click.option(
    "-o",
    "--output",
    "target",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write all chapters to FILE as one HTML page, which needs no network.",
)
def manual(chapter: str, target: Path | None) -> None:
    """Say which chapters there are to read, or print one.

    \b
        linesim manual statistics
        linesim manual -o manual.html
    """
    from linesim.files import write_text
    from linesim.manual import NoSuchChapterError, chapter_text, contents_text, manual_html

    if target is not None:
        if chapter:
            raise click.UsageError("-o writes all chapters; name none, or leave -o out")
        refuse_bad_file("-o", target)
        write_text(target, manual_html())
        click.echo(f"Written to {target}.")
        return
    try:
        click.echo(chapter_text(chapter) if chapter else contents_text(), nl=False)
    except NoSuchChapterError as error:
        raise click.UsageError(str(error)) from error
