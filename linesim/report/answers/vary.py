"""What one field changes, or two: the answer of ``vary``."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from linesim.paper import speed_within_cutter_m_per_min
from linesim.report.answers.answer import AnswerContent, faster_but_less_words, verdict
from linesim.report.answers.cells import Column, Figure, Found, figure_of, set_value
from linesim.report.answers.charts import NOW, PAIRED, Chart, Curve, Map, curve
from linesim.report.answers.choice_words import choice_words
from linesim.report.answers.size_bridge import LEVELS_KEEP
from linesim.report.answers.tables import AnswerTable
from linesim.scenario import CURRENCY, Scenario
from linesim.scenario.wages import yearly_wages
from linesim.statistics import Choice, counted, rough
from linesim.studies.changes import data_of
from linesim.studies.field_names import paths_of
from linesim.studies.vary import Point, Span, Varied
from linesim.studies.what_to_measure import MainFigure


def vary_answer(scenario: Scenario, found: Varied) -> AnswerContent:
    """The answer of ``vary``."""
    return AnswerContent(
        found,
        vary_words(scenario, found),
        _tables(found),
        vary_charts(found),
        main=MainFigure.gain(found.present, found.best.reams_per_week),
    )


def vary_words(scenario: Scenario, found: Varied) -> list[str]:
    """The best values, what cannot be told from them, and what is special about the field."""
    best = _values_text(found.spans, found.best)
    assert found.best.reams_per_week is not None
    what = "value" if len(found.spans) == 1 else "combination"
    words = [
        f"“{scenario.line.name}”: of {counted(len(found.points), what)} tried, {best} makes most,"
        f" {found.best.reams_per_week.text()} good reams a week."
    ]
    if found.alike:
        shown = ", ".join(_short_text(found.spans, point) for point in found.alike[:6])
        rest = f" and {len(found.alike) - 6} more" if len(found.alike) > 6 else ""
        counts = [
            p.against_best.more_runs
            for p in found.alike
            if p.against_best is not None and p.against_best.more_runs
        ]
        more = f"; {counted(max(counts), 'more run')} would show most of them" if counts else ""
        # In the same breath: alone the first half reads as if it were told.
        words[0] = f"{words[0][:-1]}; no difference is shown between it and {shown}{rest}{more}."
    if found.present is not None:
        words.append(f"Against the line as it is: {verdict(found.present, 'reams a week')}.")
    if found.choice is not None:
        words.append(_choice(found, found.choice))
    if found.too_fast is not None:
        point, cost = found.too_fast
        fast, slow = _values_text(found.spans, point), _values_text(found.spans, found.best)
        words.append(faster_but_less_words(f"The line with {fast}", f"the one with {slow}", cost))
    words += filter(None, (_special(scenario, span) for span in found.spans))
    refused = [point for point in found.points if point.refused]
    if refused:
        words.append(
            f"{counted(len(refused), what)} cannot be run, such as"
            f" {_values_text(found.spans, refused[0])}: {refused[0].refused}."
        )
    return words


def _choice(found: Varied, choice: Choice) -> str:
    points = [point for point in found.points if not point.refused]
    if len(found.spans) > 1:
        names = [_values_text(found.spans, point) for point in points]
        return choice_words(choice, names, "reams a week")
    names = [_short_text(found.spans, point) for point in points]
    return choice_words(choice, names, "reams a week", along=f"{_quoted(found.spans[0])} at {{}}")


def _quoted(span: Span) -> str:
    return f"“{span.label}”"


def _values_text(spans: tuple[Span, ...], point: Point) -> str:
    return " and ".join(
        f"{_quoted(span)} at {set_value(value)} {span.unit}".rstrip()
        for span, value in zip(spans, point.values, strict=True)
    )


def _short_text(spans: tuple[Span, ...], point: Point) -> str:
    """Only the values, where the fields have been named before."""
    if len(spans) == 1:
        return set_value(point.values[0])
    pairs = zip(spans, point.values, strict=True)
    return " with ".join(f"{set_value(value)} {span.unit}".rstrip() for span, value in pairs)


def _column(span: Span) -> Column:
    """Files call it by the field's name."""
    return Column(span.name, span.unit, said=span.label)


def _special(scenario: Scenario, span: Span) -> str:
    """What to bear in mind with certain fields."""
    path = scenario.web_path
    if span.name == "cutter.web_speed_m_per_min":
        knives = speed_within_cutter_m_per_min(
            max(span.values), scenario.product.sheet_length_mm, scenario.cutter.max_cuts_per_min
        )
        said = (
            f"Web breaks grow with speed to the power {path.speed_exponent:g} in this scenario"
            f" (reference {path.speed_reference_m_per_min:g} m/min)."
        )
        if not path.speed_exponent:
            said += " At 0, a faster line has no more breaks per kilometre."
        if knives < max(span.values):
            said += (
                f" The knives allow {rough(knives)} m/min at this sheet length: beyond that nothing"
                " changes."
            )
        return said
    size = f"Travel time grows with the length of the bridge; {LEVELS_KEEP}, as in size-bridge."
    return {
        "bridge.places": size,
        "bridge.length_m": size,
        "unwind.webs": "More webs mean fewer cuts for a ream, more reels in store, and more webs"
        " that can break; they must divide the ream unless counting rounds up.",
        "reels.diameter_mm": "A larger reel is changed less often; its mass must stay within the"
        " stand's limit.",
        "unwind.change_together_below_m": "Changing reels together saves stops but wastes"
        " the paper left on them: look at the waste beside the reams.",
    }.get(span.name, "") or _wages(scenario, span)


def _wages(scenario: Scenario, span: Span) -> str:
    """What more people cost, where it is people that are varied."""
    if span.name == "crew.size":
        group, who = None, "one more person"
    elif span.name.startswith("crew_group") and span.name.endswith(".number"):
        number = paths_of(data_of(scenario), span.name)[0][1]
        group = scenario.crew_group[int(number)]
        who = f"one more person of {group.name!r}"
    else:
        return ""
    cost = yearly_wages(scenario, group)
    said = (
        f"{round(cost, 2):,.10g} {CURRENCY} a year for {who}"
        if cost
        else "wage_per_h in [money] can say how much they are"
    )
    return f"Wages are not taken off these gains: {said}."


def _tables(found: Varied) -> tuple[AnswerTable, ...]:
    """Every point; with two fields also the map."""
    spans = found.spans

    def value(point: Point, n: int) -> float:
        return int(point.values[n]) if spans[n].whole else point.values[n]

    table = AnswerTable.of(
        "points",
        f"What the line makes with each {'value' if len(spans) < 2 else 'combination'} (a week of"
        " 168 h)",
        found.points,
        *((_column(span), lambda p, n=n: value(p, n)) for n, span in enumerate(spans)),
        ("good reams", lambda p: p.reams_per_week or "cannot be run"),
        (Column("OEE", "%", rank=1), lambda p: p.oee),
        (Column("avoidable waste", "%", rank=2), lambda p: p.waste),
        (Column("short of the best", "reams"), lambda p: p.against_best),
    )
    if len(spans) < 2:
        return (table,)
    down, across = spans
    grid = AnswerTable.of(
        "map",
        f"Good reams a week: {_quoted(down)} down, {_quoted(across)} across",
        zip(down.values, _grid(found), strict=True),
        (_column(down), lambda row: set_value(row[0])),
        *((set_value(b), lambda row, n=n: row[1][n]) for n, b in enumerate(across.values)),
    )
    return table, grid


def _grid(found: Varied) -> tuple[tuple[Figure | None, ...], ...]:
    """Reams a week over two fields, as the second goes across."""
    down, across = found.spans
    reams = {
        p.values: None if (made := p.reams_per_week) is None else figure_of(made)
        for p in found.points
    }
    return tuple(tuple(reams[a, b] for b in across.values) for a in down.values)


def vary_charts(found: Varied) -> tuple[Chart, ...]:
    """Curves of one field, what tells its values apart among them, or a map of two."""
    first, *others = map(_column, found.spans)
    reams = Column("good reams", "reams a week")
    if others:
        down, across = found.spans
        return (
            Map(
                "output",
                "What the line makes",
                first,
                others[0],
                reams,
                down.values,
                across.values,
                _grid(found),
                (found.present_values[0], found.present_values[1]),
            ),
        )

    def over(
        name: str, title: str, y: Column, pick: Callable[[Point], Found], **more: Any
    ) -> Curve:
        rows = ((p.values[0], pick(p)) for p in sorted(found.points, key=lambda p: p.values))
        return curve(name, title, first, y, rows, found.present_values[0], **more)

    return (
        over(
            "gain",
            "What each value brings against the line as it is",
            Column("good reams more", "reams a week"),
            lambda p: p.gain,
            of=PAIRED,
            gain=NOW,
            best=found.best.values[0],
        ),
        over("output", "What the line makes", reams, lambda p: p.reams_per_week),
        over(
            "short",
            f"How far each value falls short of the best, {set_value(found.best.values[0])}",
            Column("short of the best", "reams a week"),
            lambda p: Figure(0.0, 0.0) if p is found.best else p.against_best,
            of=PAIRED,
        ),
        over("effectiveness", "Overall effectiveness (OEE)", Column("OEE", "%"), lambda p: p.oee),
        over("waste", "Avoidable waste", Column("avoidable waste", "%"), lambda p: p.waste),
    )
