"""``linesim glossary``: what the words of the program mean."""

from __future__ import annotations

import click


@click.command()
@click.argument("term", default="")
def glossary(term: str) -> None:
    """Say what the words of the program mean.

    With TERM only that one. A term without a source is common practice.

    \b
        linesim glossary OEE
    """
    from linesim.report.glossary import NoSuchTermError, glossary_text

    try:
        click.echo(glossary_text(term), nl=False)
    except NoSuchTermError as error:
        raise click.UsageError(str(error)) from error
