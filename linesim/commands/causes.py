"""``linesim causes``: the stop causes that every line of this kind knows."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from linesim.commands.answer_output import say
from linesim.commands.run_options import wide_option

if TYPE_CHECKING:
    from linesim.report.plain import Terminal


@click.command()
@wide_option()
def causes(terminal: Terminal) -> None:
    """List the known stop causes and the figures they bring.

    A [[stop]] table that names one of them may leave out everything else; what it gives replaces
    the figure. The figures are common practice, no source: replace them by your own.

    \b
        linesim causes
    """
    from linesim.report.as_text import causes_text

    say(causes_text(terminal))
