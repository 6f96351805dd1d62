"""A report as one page for the screen and the same for print."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from linesim.report.answers import Answer
from linesim.report.page import evidence
from linesim.report.page.model import Block, PageModel, Paragraph, Section, Typed
from linesim.report.page.summary import plain_hours, summary
from linesim.report.page.typical import typical_shift
from linesim.scenario import Scenario
from linesim.studies import Replicated
from linesim.studies.run_spec import scenario_digest, scenario_text
from linesim.version import __version__


class PageRefusedError(ValueError):
    """Figures or studies that are not of the scenario the report is about."""


@dataclass(frozen=True)
class ReportPage:
    """A report ready to be written; ``model`` is what both forms show."""

    model: PageModel

    def html(self) -> str:
        """One HTML file that needs no network. The same report gives the same text."""
        from linesim.report.page.html import page_html

        return page_html(self.model)

    def pdf(self) -> bytes:
        """The same as PDF on A4 with its fonts embedded. The same report gives the same bytes."""
        from linesim.report.page.pdf import page_pdf

        return page_pdf(self.model)


def report_page(
    scenario: Scenario,
    replicated: Replicated,
    answers: Sequence[tuple[Scenario, Answer] | Answer] = (),
    *,
    question: str | None = None,
    date: str | None = None,
    typed: Sequence[str] = (),
    text: str | None = None,
    warm_up_h: float = 0.0,
) -> ReportPage:
    """The report on a scenario: what it delivers (``replicated``) and what studies say of it.

    An answer may come with the scenario that it was made of; it must be this one. ``question``
    is the reader's own, ``date`` is printed as it stands, ``typed`` are the commands that give
    the same again, ``text`` is the scenario file, whose comments say where figures come from,
    ``warm_up_h`` what the replications left out at their start.

    Raises :class:`PageRefusedError` where figures or an answer are of another scenario, and
    :class:`~linesim.report.page.typical.NotTheSameRunError` where the run to be shown comes out
    otherwise than it was counted.
    """
    refuse_other_scenario(scenario, replicated.scenario, "the figures")
    plain: list[Answer] = []
    for entry in answers:
        other, answer = (scenario, entry) if isinstance(entry, Answer) else entry
        refuse_other_scenario(scenario, other, f"the study {answer.study}")
        plain.append(answer)
    shift = typical_shift(replicated, warm_up_h)
    invented = ["invented data"] if scenario.line.invented else []
    program = f"linesim {__version__}"
    sections = (
        evidence.line_section(replicated),
        evidence.shift_section(shift),
        evidence.losses_section(replicated),
        *evidence.measure_sections(replicated),
        *evidence.study_sections(plain),
        evidence.inputs_section(replicated, text),
        evidence.limits_section(),
        _repeat(replicated, typed, warm_up_h),
    )
    first = summary(replicated, plain, question)
    model = PageModel(
        title=f"{scenario.line.name}: what it delivers, and why",
        subtitle=scenario.line.note,
        marks=(*invented, *([date] if date else []), program),
        summary=first,
        evidence=(*sections, evidence.terms_section((*first, *sections))),
        footer=" · ".join((scenario.line.name, program, f"seed {replicated.seed}", *invented)),
    )
    return ReportPage(model)


def refuse_other_scenario(scenario: Scenario, other: Scenario, what: str) -> None:
    """Raise :class:`PageRefusedError`, with what differs, where ``other`` is not ``scenario``."""
    same_prices = scenario.money == other.money and scenario.levers == other.levers
    if same_prices and scenario_text(scenario) == scenario_text(other):
        return
    mine = scenario.model_dump(mode="json", by_alias=True)
    others = other.model_dump(mode="json", by_alias=True)
    differing = [name for name in mine if mine[name] != others.get(name) and name != "line"]
    shown = ", ".join(f"[{name}]" for name in differing[:6]) or "[line]"
    raise PageRefusedError(
        f"{what} is of another scenario ({other.line.name!r}) than the report"
        f" ({scenario.line.name!r}): {shown} {'differs' if len(differing) < 2 else 'differ'}. Make"
        " the study again with the scenario as it is now, or leave it out"
    )


def _repeat(replicated: Replicated, typed: Sequence[str], warm_up_h: float) -> Section:
    run = replicated.runs[0]
    warm_up = f", after {plain_hours(warm_up_h)} h left out" if warm_up_h else ""
    said = (
        f"linesim {__version__}, seed {replicated.seed}, {len(replicated.runs)} runs (numbers"
        f" {run.replication} to {replicated.runs[-1].replication}) of"
        f" {plain_hours(run.hours)} h{warm_up}. The same scenario, seed and number of runs give the"
        " same figures to the byte."
    )
    known = (
        "Digest of all in the scenario that decides a run (SHA-256; not its name, notes or money):"
        f" {scenario_digest(replicated.scenario)}"
    )
    commands: list[Block] = [Typed(tuple(typed))] if typed else []
    blocks = (Paragraph(said), *commands, Paragraph(known, quiet=True))
    return Section("repeat", "To repeat it", blocks)
