"""A report as one page for the screen and the same for print."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from linesim.plant.log_fits import LogFits
from linesim.report.answers import Answer
from linesim.report.glossary import terms_in
from linesim.report.page import evidence
from linesim.report.page.choice import Part, Round, chosen, part
from linesim.report.page.front import asked, front_page
from linesim.report.page.model import (
    Block,
    FigureBlock,
    FrontPage,
    Grid,
    Notice,
    PageModel,
    Paragraph,
    Points,
    Section,
    Typed,
    section_texts,
)
from linesim.report.page.typical import typical_shift
from linesim.report.plain import CAUTIONS, plain_hours
from linesim.scenario import Scenario
from linesim.studies import Replicated, WhatHelps
from linesim.studies.run_spec import scenario_digest, scenario_text
from linesim.version import __version__

if TYPE_CHECKING:
    from linesim.report.page.rich_text import RichText


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

    def rich_text(self) -> RichText:
        """What stands behind page one as text and pictures that a printer's layout knows."""
        from linesim.report.page.rich_text import rich_text

        return rich_text(self.model)


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
    fits: LogFits | None = None,
    appendix: bool = False,
    helps: WhatHelps | str = "",
) -> ReportPage:
    """The report on a scenario: one page to sign, and the evidence for it on five at most.

    An answer may come with the scenario that it was made of; it must be this one. The first is
    what page one is about; without any it is about what the line delivers (``replicated``).
    ``question`` is the reader's own, ``date`` is printed as it stands, ``typed`` are the commands
    that give the same again, ``text`` is the scenario file, whose comments say where figures come
    from, ``warm_up_h`` what the replications left out at their start, ``fits`` what was fitted to
    the plant's log, ``helps`` as :func:`~linesim.report.story.story` takes it. With the
    ``appendix`` the rest follows: every input, all tables.

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
    from linesim.report.page.pdf import PageMeasure

    invented = ["invented data"] if scenario.line.invented else []
    program = f"linesim {__version__}"
    front = front_page(replicated, plain, question, helps)
    parts = _parts(replicated, plain, front, question, text, warm_up_h, fits)
    measure = PageMeasure()
    inside, rest = chosen(
        parts, lambda found: measure((*found, _closing(parts, found, typed, appended=appendix)))
    )
    closing = _closing(parts, inside, typed, appended=appendix)
    evidence_shown = (*inside, closing)
    more = (*rest, *_last(replicated, warm_up_h, (front.section, *evidence_shown, *rest)))
    model = PageModel(
        title=f"{scenario.line.name}: {front.question}",
        subtitle=scenario.line.note,
        marks=(scenario.line.name, *invented, *([date] if date else []), program),
        front=front,
        evidence=evidence_shown,
        appendix=more if appendix else (),
        footer=" · ".join((scenario.line.name, program, f"seed {replicated.seed}", *invented)),
    )
    return ReportPage(model)


def _parts(
    replicated: Replicated,
    answers: Sequence[Answer],
    front: FrontPage,
    question: str | None,
    text: str | None,
    warm_up_h: float,
    fits: LogFits | None,
) -> list[Part]:
    whole = asked(replicated, answers, question)
    cut = [Paragraph(whole, "The question.")] if whole != front.question else []
    if answers and answers[0].advised.sentence != front.answer:
        cut.append(Paragraph(answers[0].advised.sentence, "The answer."))
    return [
        *([part("whole", "In full", (Round.ANSWER, cut))] if cut else []),
        *evidence.study_parts(answers, on_page_one=True),
        evidence.sure_part(replicated, answers),
        evidence.line_part(replicated, typical_shift(replicated, warm_up_h)),
        evidence.losses_part(replicated, on_page_one=not (answers and answers[0].charts)),
        *evidence.measure_parts(replicated),
        *evidence.fit_parts(replicated.scenario, fits),
        evidence.inputs_part(replicated, text),
        evidence.limits_part(),
    ]


def _closing(
    parts: Sequence[Part], shown: Sequence[Section], typed: Sequence[str], *, appended: bool = False
) -> Section:
    """What was left out and how to get it, what gives the same again, and the caution."""
    there = {id(block) for each in shown for block in each.blocks}
    left = [
        (block, each.title) for each in parts for _, block in each.blocks if id(block) not in there
    ]
    said = (
        "The appendix follows. It has:"
        if appended
        else "Left out here. The appendix has it: --appendix with the command, or its tick in the"
        " window."
    )
    return Section(
        "closing",
        "What stands elsewhere",
        (
            Paragraph(said),
            Points((*_named(left), "Figures in words, and what the words mean")),
            *([Typed(tuple(typed))] if typed else []),
            *(Notice("caution", text) for text in CAUTIONS),
        ),
    )


def _named(left: Sequence[tuple[Block, str]]) -> Iterator[str]:
    """What was left out, each with the heading that it belongs to, by kinds."""
    tables = [
        block.title.removesuffix(", continued") for block, _ in left if isinstance(block, Grid)
    ]
    pictures = [heading for block, heading in left if isinstance(block, FigureBlock)]
    more = [heading for block, heading in left if not isinstance(block, Grid | FigureBlock)]
    for kind, names in (("Tables", tables), ("Pictures of", pictures), ("More on", more)):
        if names:
            yield f"{kind}: {'; '.join(dict.fromkeys(names))}"


def _last(
    replicated: Replicated, warm_up_h: float, shown: Sequence[Section]
) -> tuple[Section, ...]:
    """The end of the appendix: figures in words, what gives the same again, and the words."""
    drawn = [b for each in shown for b in each.blocks if isinstance(b, FigureBlock)]
    figures = tuple(Paragraph(each.drawing.description, f"{each.drawing.title}.") for each in drawn)
    said = [text for each in shown if each.name != "inputs-more" for text in section_texts(each)]
    rows = tuple(
        (each.term, f"{each.meaning[:-1]} ({each.source})." if each.standard else each.meaning)
        for each in terms_in("\n".join(said))
    )
    note = "Terms without a source are common practice."
    grid = Grid("Terms of this report", ("term", "meaning"), rows, frozenset({0, 1}), note)
    return (
        Section("figures", "The figures in words", figures),
        _repeat(replicated, warm_up_h),
        Section("terms", "What the words mean", (grid,)),
    )


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


def _repeat(replicated: Replicated, warm_up_h: float) -> Section:
    run = replicated.runs[0]
    warm_up = f", after {plain_hours(warm_up_h)} h left out" if warm_up_h else ""
    said = (
        f"linesim {__version__}, seed {replicated.seed}, {len(replicated.runs)} runs (numbers"
        f" {run.replication} to {replicated.runs[-1].replication}) of"
        f" {plain_hours(run.hours)} h{warm_up}. The same scenario, seed and number of runs"
        " give the same figures to the byte."
    )
    known = (
        "Digest of all in the scenario that decides a run (SHA-256; not its name, notes or money):"
        f" {scenario_digest(replicated.scenario)}"
    )
    return Section("repeat", "To repeat it", (Paragraph(said), Paragraph(known, quiet=True)))
