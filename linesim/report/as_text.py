"""What the terminal shows as one text, to be shown, copied or saved elsewhere."""

from __future__ import annotations

from collections.abc import Callable
from io import StringIO

from rich.console import Console

from linesim.report.causes_table import print_causes
from linesim.report.plain import text_console
from linesim.report.rates_table import print_rates
from linesim.report.terminal import print_audit, print_report
from linesim.report.words import narrow_words, settled_words
from linesim.scenario import Scenario
from linesim.studies import Replicated
from linesim.studies.settling import Settled


def run_text(
    result: Replicated,
    *,
    settled: Settled | None = None,
    within_percent: float | None = None,
    audit: bool = False,
) -> str:
    """The report on a run, as ``linesim run`` prints it.

    ``settled`` says what a long run left out, ``within_percent`` how narrow an interval was asked
    for; ``audit`` adds what checking the books of every run found.
    """

    def say(console: Console) -> None:
        print_report(result, console)
        if settled is not None:
            console.print(settled_words(settled))
        if audit:
            print_audit(result, console)
        if within_percent is not None:
            console.print(narrow_words(result, within_percent))

    return _said(say)


def rates_text(scenario: Scenario) -> str:
    """Rated and net rate of each station, as ``linesim rates`` prints them."""
    return _said(lambda console: print_rates(scenario, console))


def causes_text() -> str:
    """The known stop causes, as ``linesim causes`` prints them."""
    return _said(print_causes)


def _said(say: Callable[[Console], None]) -> str:
    paper = StringIO()
    say(text_console(paper))
    lines = paper.getvalue().splitlines()
    # A console fills lines up with blanks, which only widen a copy.
    return "\n".join(line.rstrip() for line in lines) + "\n"
