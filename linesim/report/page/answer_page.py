"""One answer on paper: what it says, all its pictures, tables and notes, and nothing to sign."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.report.answers import Answer
from linesim.report.page.evidence import study_parts
from linesim.report.page.model import Notice, PageModel, Section
from linesim.report.page.page import ReportPage
from linesim.report.plain import CAUTIONS, INVENTED
from linesim.scenario import Scenario
from linesim.version import __version__


def answer_page(scenario: Scenario, answer: Answer, remarks: Sequence[str] = ()) -> ReportPage:
    """The page of an answer and the scenario it is of; no run is made for it.

    ``remarks`` are what stands against taking it for the last word, such as that more runs are
    being made.
    """
    (asked,) = study_parts([answer], on_page_one=False)
    line, program = scenario.line, f"linesim {__version__}"
    notices = [
        *(Notice("caution", text) for text in (*remarks, *CAUTIONS)),
        *([Notice("invented", INVENTED)] if line.invented else []),
    ]
    marks = (line.name, *(["invented data"] if line.invented else []), program)
    blocks = (*(block for _, block in asked.blocks), *notices)
    return ReportPage(
        PageModel(
            title=f"{line.name}: {asked.title}",
            subtitle="",
            marks=marks,
            front=None,
            evidence=(Section(asked.name, asked.title, blocks),),
            appendix=(),
            footer=" · ".join(marks),
        )
    )
