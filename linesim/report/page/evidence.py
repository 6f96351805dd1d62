"""What the answer rests on: the line, a shift, the losses, studies, inputs, limits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from linesim.report import run_tables, words
from linesim.report.answers import Answer, AnswerTable, Figure
from linesim.report.answers.cells import cell_text
from linesim.report.answers.table_layout import layout
from linesim.report.answers.what_to_measure import (
    TITLE,
    measure_chart,
    measure_table,
    measure_words,
)
from linesim.report.glossary import terms_in
from linesim.report.page.inputs import input_grids, stops_grid
from linesim.report.page.line_drawing import line_drawing
from linesim.report.page.loss_stairs import loss_stairs
from linesim.report.page.model import (
    Block,
    FigureBlock,
    Grid,
    Paragraph,
    Points,
    Section,
    section_texts,
)
from linesim.report.page.rates_v import rates_v
from linesim.report.page.shift_strip import column_seconds, shift_strip
from linesim.report.page.study_charts import chart_figure
from linesim.report.page.summary import plain_hours, rests_on, study_question
from linesim.report.page.typical import TypicalShift
from linesim.report.plain import CAUTIONS, INVENTED, LIMITS, WIDTH, station_name
from linesim.statistics import rough
from linesim.studies import Replicated
from linesim.studies.figures import LINE

_NOT_A_LIMIT = ("Caution: ", "Note: ", "linesim ")


def line_section(replicated: Replicated) -> Section:
    """The line as it was described."""
    caption = (
        "Not to scale. The places of the bridge are counted out; its levels are counted from the"
        " wrappers' end."
    )
    drawn = FigureBlock("line", line_drawing(replicated.scenario), caption)
    holds = Paragraph(words.constraint_sentence(replicated))
    return Section("line", "The line", (drawn, holds))


def shift_section(shift: TypicalShift) -> Section:
    """A shift of the run nearest the mean."""
    caption = (
        f"{shift.why} Each column of a lane stands for {column_seconds(shift):.0f} s and shows the"
        " state that took most of it, so the short waits between two sets are not seen. The"
        " bridge is drawn from its least to its most reams in each column. Hatches lean to the side"
        " the trouble came from."
    )
    return Section("shift", "A typical shift", (FigureBlock("shift", shift_strip(shift), caption),))


def losses_section(replicated: Replicated) -> Section:
    """Where the time, the hours of each station and the paper went."""
    station = station_name(replicated.scenario, replicated.runs[0].reference)
    stairs = (
        f"At the output, against the rated speed of the {station} (ISO 22400-2; losses after"
        f" Nakajima 1988). Strokes are intervals. {words.how_judged(replicated)}"
    )
    rates = "Rated: by nameplate. Net: less the station's own stops, as if it never waited."
    if len(replicated.scenario.order) > 1:
        rates += " With orders, a rate is the mean over the reams of all of them."
    hours = rough(replicated.runs[0].hours)
    effectiveness = tuple(
        ("the line" if name == LINE else station_name(replicated.scenario, name), *factors)
        for name, *factors in run_tables.effectiveness_rows(replicated)
    )
    states = (
        Grid(
            "Hours in each state" + (", continued" if n else ""), ("state", *stations), tuple(rows)
        )
        for n, (stations, rows) in enumerate(run_tables.state_tables(replicated))
    )
    blocks: tuple[Block, ...] = (
        FigureBlock("stairs", loss_stairs(replicated), stairs, small=True),
        FigureBlock("rates", rates_v(replicated), rates, small=True),
        Grid(
            "Effectiveness, each station at its own rated speed (ISO 22400-2)",
            ("station", "availability", "performance", "quality", "OEE"),
            effectiveness,
        ),
        Grid(
            f"What the hours were lost for, the {run_tables.CAUSES} largest of each station",
            ("station", "cause", f"hours of {hours}"),
            tuple(run_tables.cause_rows(replicated)),
            frozenset({0, 1}),
        ),
        *states,
        Grid(
            "Where the paper went",
            ("paper", "kg", "% of paper used"),
            tuple(run_tables.paper_rows(replicated)),
        ),
    )
    if replicated.runs[0].products:
        by_product = Grid(
            f"{run_tables.PRODUCTS} (ISO 22400-2)",
            ("product", *run_tables.PRODUCT_COLUMNS),
            tuple(run_tables.product_rows(replicated)),
            note=run_tables.PRODUCTS_NOTE,
        )
        blocks = (*blocks[:3], by_product, *blocks[3:])
    if replicated.runs[0].energy_kwh:
        rows = tuple(run_tables.energy_rows(replicated))
        note = words.energy_sentence(replicated)
        grid = Grid("Energy", ("station", *run_tables.ENERGY_COLUMNS), rows, note=note)
        blocks = (*blocks, grid)
    return Section("losses", "Where the time goes", blocks)


def measure_sections(replicated: Replicated) -> Iterator[Section]:
    """What to measure next, where something is not known of the line."""
    found = replicated.what_to_measure()
    if found is not None:
        chart = measure_chart(found)
        drawn = chart_figure(chart)
        words = Paragraph(measure_words(found))
        yield Section("measure", TITLE, (words, drawn, *answer_grids(measure_table(found))))


def study_sections(answers: Sequence[Answer]) -> tuple[Section, ...]:
    """A section for each study: its words, curves, tables and notes."""
    return tuple(_study(number, answer) for number, answer in enumerate(answers))


def _study(number: int, answer: Answer) -> Section:
    blocks: list[Block] = [Points(answer.words)]
    blocks += [chart_figure(chart, f"study{number}-{chart.name}") for chart in answer.charts]
    blocks += [grid for table in answer.tables for grid in answer_grids(table)]
    notes = [note for note in answer.notes if not note.startswith(_NOT_A_LIMIT)]
    blocks += [Paragraph(note, quiet=True) for note in notes]
    blocks.append(Paragraph(_made_by(answer), quiet=True))
    return Section(f"study{number}", study_question(answer), tuple(blocks))


def _made_by(answer: Answer) -> str:
    """The study by name, and what it takes to get the same again."""
    facts = answer.facts
    parts = [f"Study {answer.study}: {rests_on(answer)}".rstrip(": ").rstrip(".")]
    if "seed" in facts:
        parts.append(f"seed {facts['seed']}")
    if isinstance(level := facts.get("level"), float):
        parts.append(f"{100 * level:.0f} % intervals")
    if isinstance(left := facts.get("warm_up_h"), float | int) and left:
        parts.append(f"the first {plain_hours(left)} h of each run left out")
    parts += [f"{name} {facts[name]}" for name in ("log", "resamples") if name in facts]
    return ", ".join(parts) + "."


def answer_grids(table: AnswerTable) -> Iterator[Grid]:
    """A table; one too wide for a page goes on below, beside its first column."""
    heads = [column.heading for column in table.columns]
    rows = [[cell_text(cell) for cell in row] for row in table.rows]
    words = [n == 0 or column.left for n, column in enumerate(table.columns)]
    unsure = any(isinstance(c, Figure) and not c.shown for row in table.rows for c in row)
    note = "~: the interval spans 0, so no difference is shown." if unsure else ""
    parts = layout(heads, rows, words, WIDTH).blocks
    for number, block in enumerate(parts):
        numbers = [fitted.column for fitted in block]
        yield Grid(
            table.title + (", continued" if number else ""),
            tuple(heads[n] for n in numbers),
            tuple(tuple(row[n] for n in numbers) for row in rows),
            frozenset(at for at, n in enumerate(numbers) if words[n]),
            note if number == len(parts) - 1 else "",
        )


def inputs_section(replicated: Replicated, text: str | None) -> Section:
    """Every figure of the scenario and where it comes from."""
    scenario = replicated.scenario
    differing, same = input_grids(scenario, text)
    blocks: list[Block] = []
    if scenario.line.invented:
        blocks.append(Paragraph(INVENTED))
    origin = (
        "Where from: the comment or note beside the figure in the scenario file"
        if text is not None
        else "Where from: the note beside the figure in the scenario"
    )
    blocks.append(
        Paragraph(
            f"{origin}; where there is none, whether the scenario or the program gave it. Figures"
            " of known stop causes that the scenario leaves as they are: common practice, no"
            " source."
        )
    )
    blocks += [differing, stops_grid(scenario, text), same]
    return Section("inputs", "Inputs and where they come from", tuple(blocks))


def limits_section() -> Section:
    """What the model leaves out, and the cautions again."""
    return Section("limits", "What the model leaves out", (Points((*LIMITS, *CAUTIONS)),))


def terms_section(sections: Sequence[Section]) -> Section:
    """The terms that the sections use, each with its meaning; names of inputs aside."""
    said = [text for each in sections if each.name != "inputs" for text in section_texts(each)]
    used = terms_in("\n".join(said))
    rows = tuple(
        (each.term, f"{each.meaning[:-1]} ({each.source})." if each.standard else each.meaning)
        for each in used
    )
    note = "Terms without a source are common practice."
    grid = Grid("Terms of this report", ("term", "meaning"), rows, frozenset({0, 1}), note)
    return Section("terms", "What the words mean", (grid,))
