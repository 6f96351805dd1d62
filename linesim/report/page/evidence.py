"""What stands behind page one: studies, the line and its losses, what is not known, inputs."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from linesim.plant.into_scenario import came_from
from linesim.plant.log_fits import LogFits
from linesim.report import run_tables, words
from linesim.report.answers import Answer, AnswerTable, Figure
from linesim.report.answers.charts import Tornado
from linesim.report.answers.stop_fit_charts import fit_charts
from linesim.report.answers.table_layout import layout
from linesim.report.answers.what_to_measure import (
    TITLE,
    measure_chart,
    measure_table,
    measure_words,
)
from linesim.report.page.choice import Part, Round, part
from linesim.report.page.costs import costs_grid
from linesim.report.page.inputs import (
    COMMON_PRACTICE,
    doubted_grid,
    input_grids,
    inputs_of,
    is_common_practice,
    stops_grid,
)
from linesim.report.page.line_drawing import line_drawing
from linesim.report.page.loss_stairs import loss_stairs
from linesim.report.page.model import FigureBlock, Grid, Paragraph, Points
from linesim.report.page.rates_v import rates_v
from linesim.report.page.shift_strip import column_seconds, shift_strip
from linesim.report.page.study_charts import chart_figure, parted
from linesim.report.page.typical import TypicalShift
from linesim.report.plain import LIMITS, counting_notice, plain_hours, station_name
from linesim.report.start_words import start_words
from linesim.report.story import story
from linesim.scenario import Scenario
from linesim.scenario.people import crew_sizes
from linesim.statistics import counted
from linesim.studies import Replicated
from linesim.studies.figures import LINE

_NOT_A_LIMIT = ("Caution: ", "Note: ", "linesim ")
_FITS_SHOWN = 2
_LETTERS = 110
"""Letters on a line of a page, those of a table's width included; figures are as wide as any."""


def study_parts(answers: Sequence[Answer], *, on_page_one: bool) -> Iterator[Part]:
    """A part for each study; ``on_page_one`` says whether the first chart of all stands there.

    What page one has of it is not shown again.
    """
    for number, answer in enumerate(answers):
        shown = list(answer.charts)
        if on_page_one and not number and shown:
            rest = parted(shown[0])[1]
            shown[:1] = [] if rest is None else [rest]
        charts = [(chart, chart_figure(chart, f"study{number}-{chart.name}")) for chart in shown]
        # What page one shows the most of is in no hurry.
        first = [
            drawn
            for n, (chart, drawn) in enumerate(charts)
            if isinstance(chart, Tornado) or (number and not n)
        ]
        tables = [list(answer_grids(table)) for table in answer.tables]
        notes = [note for note in answer.notes if not note.startswith(_NOT_A_LIMIT)]
        yield part(
            f"study{number}",
            study_question(answer),
            (Round.ANSWER, [Points(answer.words)]),
            (Round.ANSWER, first),
            (Round.MORE, [drawn for _, drawn in charts if drawn not in first]),
            (Round.ANSWER, tables[0] if tables else ()),
            (Round.MORE, [grid for each in tables[1:] for grid in each]),
            (Round.MORE, [Points(tuple(notes))] if notes else ()),
            (Round.ANSWER, [Paragraph(_made_by(answer), quiet=True)]),
        )


def study_question(answer: Answer) -> str:
    """The question that a study answers."""
    return answer.question or f"What does the study “{answer.study}” say?"


def stairs_block(replicated: Replicated) -> FigureBlock:
    """From the nameplate down to good output."""
    station = station_name(replicated.scenario, replicated.runs[0].reference)
    stairs = (
        f"At the output, against the rated speed of the {station} (ISO 22400-2; losses after"
        " Nakajima 1988). Strokes are intervals."
    )
    return FigureBlock("stairs", loss_stairs(replicated), stairs, small=True)


def line_part(replicated: Replicated, shift: TypicalShift) -> Part:
    """The line as it was described, and a shift of the run nearest the mean."""
    caption = (
        "Not to scale. The places of the bridge are counted out; its levels are counted from the"
        " wrappers' end."
    )
    of_shift = (
        f"{shift.why} Each column of a lane stands for {column_seconds(shift):.0f} s and shows the"
        " state that took most of it. The bridge is drawn from its least to its most reams in each"
        " column. Hatches lean to the side the trouble came from."
    )
    drawn = (
        FigureBlock("line", line_drawing(replicated.scenario), caption),
        FigureBlock("shift", shift_strip(shift), of_shift),
    )
    told = Paragraph(story(replicated).text)
    holds = Paragraph(words.constraint_sentence(replicated))
    return part("line", "The line, and a typical shift", (Round.LINE, (told, *drawn, holds)))


def losses_part(replicated: Replicated, *, on_page_one: bool) -> Part:
    """Where the time, the hours of each station and the paper went.

    ``on_page_one`` says whether the staircase and what it costs stand there.
    """
    rates = "Rated: by nameplate. Net: less the station's own stops, as if it never waited."
    if len(replicated.scenario.order) > 1:
        rates += " With orders, a rate is the mean over the reams of all of them."
    drawn = [FigureBlock("rates", rates_v(replicated), rates, small=True)]
    if not on_page_one:
        drawn.insert(0, stairs_block(replicated))
    return part(
        "losses",
        "Where the time goes",
        (Round.LINE, drawn),
        (Round.CAUSES, [] if on_page_one else [costs_grid(replicated)]),
        (Round.CAUSES, [_causes_grid(replicated), _paper_grid(replicated)]),
        (Round.APPENDIX, _other_tables(replicated)),
        (Round.APPENDIX, [Paragraph(words.how_judged(replicated), quiet=True)]),
    )


def _causes_grid(replicated: Replicated) -> Grid:
    return Grid(
        f"What the hours were lost for, the {run_tables.CAUSES} largest of each station",
        ("station", "cause", f"hours of {plain_hours(replicated.runs[0].hours)}"),
        tuple(run_tables.cause_rows(replicated)),
        frozenset({0, 1}),
    )


def _paper_grid(replicated: Replicated) -> Grid:
    rows = tuple(run_tables.paper_rows(replicated))
    return Grid("Where the paper went", ("paper", "kg", "% of paper used"), rows)


def _other_tables(replicated: Replicated) -> Iterator[Grid]:
    yield Grid(
        "Effectiveness, each station at its own rated speed (ISO 22400-2)",
        ("station", "availability", "performance", "quality", "OEE"),
        tuple(
            ("the line" if name == LINE else station_name(replicated.scenario, name), *factors)
            for name, *factors in run_tables.effectiveness_rows(replicated)
        ),
    )
    if replicated.runs[0].products:
        yield Grid(
            f"{run_tables.PRODUCTS} (ISO 22400-2)",
            ("product", *run_tables.PRODUCT_COLUMNS),
            tuple(run_tables.product_rows(replicated)),
            note=run_tables.PRODUCTS_NOTE,
        )
    for n, (stations, rows) in enumerate(run_tables.state_tables(replicated)):
        title = "Hours in each state" + (", continued" if n else "")
        yield Grid(title, ("state", *stations), tuple(rows))
    if replicated.runs[0].energy_kwh:
        rows = run_tables.energy_rows(replicated)
        note = words.energy_sentence(replicated)
        yield Grid("Energy", ("station", *run_tables.ENERGY_COLUMNS), tuple(rows), note=note)


def measure_parts(replicated: Replicated) -> Iterator[Part]:
    """What to measure next, where something is not known of the line."""
    found = replicated.what_to_measure()
    if found is not None:
        drawn = chart_figure(measure_chart(found))
        said = Paragraph(measure_words(found))
        grids = answer_grids(measure_table(found))
        yield part("measure", TITLE, (Round.DOUBT, [said, drawn, *grids]))


def fit_parts(scenario: Scenario, found: LogFits | None) -> Iterator[Part]:
    """Causes whose figures in the scenario are fitted to these logs, the costliest first."""
    if found is None:
        return
    notes = {stop.note for stop in scenario.stop}
    fits = [fit for fit in found.fits if came_from(found.log, fit) in notes]
    fits.sort(key=lambda fit: -fit.count * fit.restore_min.mean)
    drawn = [
        [
            chart_figure(chart, f"fit{n}-{chart.name}")
            for chart in fit_charts(fit, seed=found.settings.seed)
            if chart.name != "over-time"
        ]
        for n, fit in enumerate(fits)
    ]
    said = (
        f"{counted(len(fits), 'stop cause')} of the scenario {'is' if len(fits) == 1 else 'are'}"
        f" fitted to {found.log.name}. Points along the line: the law fits."
        if fits
        else f"No figure of the scenario is one that {found.log.name} gives, read as it was here."
    )
    shown, rest = drawn[:_FITS_SHOWN], drawn[_FITS_SHOWN:]
    yield part(
        "fits",
        "How well the fitted laws fit",
        (Round.DOUBT, [Paragraph(said)]),
        (Round.DOUBT, [figure for each in shown for figure in each]),
        (Round.APPENDIX, [figure for each in rest for figure in each]),
    )


def sure_part(replicated: Replicated, answers: Sequence[Answer]) -> Part:
    """How sure the figures are, and what they rest on."""
    runs = replicated.runs
    hours = plain_hours(runs[0].hours)
    if len(runs) < 2:
        said = [f"One run of {hours} h was made: nothing can be said about how far it may be off."]
    else:
        made = sorted(run.measures["good_reams_per_hour"] * run.hours for run in runs)
        early = " The runs were stopped early." if replicated.interrupted else ""
        what = "The figures of the line as it is" if answers else "The figures"
        kind = (
            "runs in plants that agree with what is known"
            if replicated.crossed
            else "independent runs"
        )
        said = [
            *_studies_rest_on(replicated, answers),
            f"{what} are means of {len(runs)} {kind} of {hours} h, ± the half width of the"
            f" {100 * replicated.level:.0f} % interval (Student's t).{early} The runs gave"
            f" {made[0]:,.0f} to {made[-1]:,.0f} good reams.",
            f"{words.TWO_PARTS}. Inputs without a doubt of their own are taken as known."
            if replicated.crossed
            else "The intervals cover chance only, as it differs from run to run. They do not say"
            " how good the inputs are.",
        ]
    scenario = replicated.scenario
    assumed = (_stops_sentence(scenario), _crew_sentence(scenario), counting_notice(scenario))
    blocks = [Points((*said, *filter(None, assumed)))]
    more = Points((words.balance_sentence(replicated), start_words(scenario)))
    return part("sure", "How sure that is", (Round.ANSWER, blocks), (Round.MORE, [more]))


def _studies_rest_on(replicated: Replicated, answers: Sequence[Answer]) -> Iterator[str]:
    """Which studies rest on which runs; those on the same are named together."""
    names: dict[tuple[object, ...], list[Answer]] = {}
    for answer in answers:
        if rests_on(answer):
            names.setdefault(_runs(answer), []).append(answer)
    for those in names.values():
        named = " and ".join(each.study for each in those)
        rest = "study {} rests" if len(those) == 1 else "studies {} rest"
        yield f"The {rest.format(named)} on {rests_on(those[0])}"
    line = (len(replicated.runs), replicated.runs[0].hours, replicated.seed, replicated.warm_up_h)
    if any(runs[:4] != line for runs in names):
        yield (
            "Runs of another number, length or seed met other random numbers: figures of the same"
            " line from them differ, within what their intervals allow."
        )


def _runs(answer: Answer) -> tuple[object, ...]:
    """What two studies must have in common to have made the same runs of the same line."""
    facts = answer.facts
    wanted = ("replications", "hours", "seed", "warm_up_h")
    return (*(facts.get(name) or 0.0 for name in wanted), rests_on(answer))


def rests_on(answer: Answer) -> str:
    """How many runs of what length a study rests on; nothing where it made none.

    >>> rests_on(Answer("vary", "a line", (), (), facts={"replications": 4, "hours": 24.0}))
    '4 runs of 24 h for each of its variants, which met the same random numbers.'
    """
    runs, hours = answer.facts.get("replications"), answer.facts.get("hours")
    if runs is None or not isinstance(hours, float | int):
        return ""
    early = " It was stopped early." if answer.facts.get("stopped_early") else ""
    variants = (
        " for each of its variants, which met the same random numbers" if answer.variants else ""
    )
    return f"{runs} runs of {plain_hours(hours)} h{variants}.{early}"


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


def _crew_sentence(scenario: Scenario) -> str:
    speed = scenario.crew.walk_m_per_s
    walks = "" if speed is None else f" They walk from job to job at {speed:g} m/s."
    if not scenario.crew_group:
        return f"A crew of {scenario.crew.size}; all can do everything.{walks}"
    fewest, most = crew_sizes(scenario)
    size = f"{most}" if fewest == most else f"{fewest} to {most}, by shift"
    all_can = all(group.can is None for group in scenario.crew_group)
    what = "all can do everything" if all_can else "who can do what is said group by group"
    return f"A crew of {size}; {what}.{walks}"


def _stops_sentence(scenario: Scenario) -> str:
    fields, count = inputs_of(scenario), len(scenario.stop)
    said = (
        f"Of {len(fields)} figures of the line the scenario gives"
        f" {sum(field.stated for field in fields)}; for the rest the program's defaults stand."
    )
    if not count:
        return f"{said} It has no stop causes: only reels, webs and rolls stop the line."
    usual = sum(is_common_practice(stop) for stop in scenario.stop)
    has = "has" if usual == 1 else "have"
    return (
        f"{said} Of {counted(count, 'stop cause')} {usual or 'none'} {has} figures of"
        f" {COMMON_PRACTICE}."
    )


def inputs_part(replicated: Replicated, text: str | None) -> Part:
    """The figures that matter, then every figure of the scenario, and where each comes from."""
    scenario = replicated.scenario
    differing, same = input_grids(scenario, text)
    origin = (
        "Where from: the comment or note beside the figure in the scenario file"
        if text is not None
        else "Where from: the note beside the figure in the scenario"
    )
    said = (
        f"{origin}; where there is none, whether the scenario or the program gave it. Figures"
        f" of known stop causes that the scenario leaves as they are: {COMMON_PRACTICE}."
    )
    first, *others = filter(
        _has_rows, (doubted_grid(scenario, text), stops_grid(scenario, text), differing)
    )
    tables = [replace(first, note=said), *(each for each in others if each is not differing)]
    return part(
        "inputs",
        "Inputs and where they come from",
        (Round.DOUBT, tables),
        (Round.APPENDIX, [each for each in (differing, same) if each not in tables]),
    )


def _has_rows(grid: Grid) -> bool:
    return bool(grid.rows)


def limits_part() -> Part:
    """All that the model leaves out."""
    return part("limits", "What the model leaves out", (Round.APPENDIX, [Points(LIMITS)]))


def answer_grids(table: AnswerTable) -> Iterator[Grid]:
    """A table; one too wide for a page goes on below, beside its first column."""
    heads = [column.heading for column in table.columns]
    rows = [table.texts(row) for row in table.rows]
    left = [n == 0 or column.left for n, column in enumerate(table.columns)]
    unsure = any(isinstance(c, Figure) and c.unsure for row in table.rows for c in row)
    note = "~: the interval spans 0, so no difference is shown." if unsure else ""
    parts = layout(heads, rows, left, _LETTERS).blocks
    for number, block in enumerate(parts):
        numbers = [fitted.column for fitted in block]
        yield Grid(
            table.title + (", continued" if number else ""),
            tuple(heads[n] for n in numbers),
            tuple(tuple(row[n] for n in numbers) for row in rows),
            frozenset(at for at, n in enumerate(numbers) if left[n]),
            note if number == len(parts) - 1 else "",
        )
