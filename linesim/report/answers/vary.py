"""What one field changes, or two: the answer of ``vary``."""

from __future__ import annotations

from linesim.paper import speed_within_cutter_m_per_min
from linesim.report.answers.answer import (
    AnswerContent,
    AnswerTable,
    Cell,
    Chart,
    Column,
    Figure,
    change,
    faster_but_less_words,
    figure,
    verdict,
    written,
)
from linesim.report.answers.charts import Curve, CurvePoint, Map
from linesim.scenario import Scenario
from linesim.statistics import counted, rough
from linesim.studies.vary import Point, Span, Varied


def vary_answer(scenario: Scenario, found: Varied) -> AnswerContent:
    """The answer of ``vary``."""
    return AnswerContent(
        found,
        vary_words(scenario, found),
        _tables(found),
        vary_charts(found),
    )


def vary_words(scenario: Scenario, found: Varied) -> list[str]:
    """The best values, what cannot be told from them, and what is special about the field."""
    best = _values_text(found.spans, found.best)
    assert found.best.reams_per_week is not None
    what = "value" if len(found.spans) == 1 else "combination"
    words = [
        f"{scenario.line.name}: of {counted(len(found.points), what)} tried, {best} makes most,"
        f" {written(figure(found.best.reams_per_week))} good reams a week."
    ]
    if found.alike:
        shown = ", ".join(_values_text(found.spans, point) for point in found.alike[:6])
        rest = f" and {len(found.alike) - 6} more" if len(found.alike) > 6 else ""
        counts = [
            p.against_best.more_runs
            for p in found.alike
            if p.against_best is not None and p.against_best.more_runs
        ]
        more = f"; {counted(max(counts), 'more run')} would show most of them" if counts else ""
        words.append(f"No difference is shown between it and {shown}{rest}{more}.")
    if found.present is not None:
        words.append(f"Against the line as it is: {verdict(found.present, 'reams a week')}.")
    if found.too_fast is not None:
        point, cost = found.too_fast
        fast, slow = _values_text(found.spans, point), _values_text(found.spans, found.best)
        words.append(faster_but_less_words(f"The line with {fast}", f"the one with {slow}", cost))
    words += [_special(scenario, span) for span in found.spans if _special(scenario, span)]
    refused = [point for point in found.points if point.refused]
    if refused:
        words.append(
            f"{counted(len(refused), what)} cannot be run, such as"
            f" {_values_text(found.spans, refused[0])}: {refused[0].refused}."
        )
    return words


def _values_text(spans: tuple[Span, ...], point: Point) -> str:
    return " and ".join(
        f"{span.name} {value:g}" for span, value in zip(spans, point.values, strict=True)
    )


def _special(scenario: Scenario, span: Span) -> str:
    """What to bear in mind with certain fields."""
    path = scenario.web_path
    if span.name == "cutter.web_speed_m_per_min":
        knives = speed_within_cutter_m_per_min(
            max(span.values), scenario.product.sheet_length_mm, scenario.cutter.max_cuts_per_min
        )
        limit = (
            f" The knives allow {rough(knives)} m/min at this sheet length: beyond that nothing"
            " changes."
            if knives < max(span.values)
            else ""
        )
        return (
            f"Web breaks grow with speed to the power {path.speed_exponent:g} in this scenario"
            f" (reference {path.speed_reference_m_per_min:g} m/min)."
            + (
                " At 0, a faster line has no more breaks per kilometre."
                if not path.speed_exponent
                else ""
            )
            + limit
        )
    size = (
        "Travel time grows with the length of the bridge; the levels keep their distance from its"
        " end, the restart level its share of the stop level, as in size-bridge."
    )
    return {
        "bridge.places": size,
        "bridge.length_m": size,
        "unwind.webs": "More webs mean fewer cuts for a ream, more reels in store, and more webs"
        " that can break; they must divide the ream unless counting rounds up.",
        "reels.diameter_mm": "A larger reel is changed less often; its mass must stay within the"
        " stand's limit.",
        "unwind.change_together_below_m": "Changing reels together saves stops but wastes"
        " the paper left on them: look at the waste beside the reams.",
        "crew.size": f"Wages are not taken off these gains: {_wages(scenario)}.",
    }.get(span.name, "")


def _wages(scenario: Scenario) -> str:
    cost = scenario.money.person_cost_per_year
    if not cost:
        return "person_cost_per_year in [money] can say how much they are"
    return f"{cost:,.10g} a year for one more person"


def _tables(found: Varied) -> tuple[AnswerTable, ...]:
    """Every point; with two fields also the map."""
    fields = tuple(Column(span.name, span.unit) for span in found.spans)
    whole = [span.whole for span in found.spans]

    def row(point: Point) -> tuple[Cell, ...]:
        values = tuple(int(v) if w else v for v, w in zip(point.values, whole, strict=True))
        if point.reams_per_week is None or point.oee is None or point.waste is None:
            return (*values, "cannot be run", None, None, None)
        against = None if point.against_best is None else change(point.against_best)
        return (
            *values,
            figure(point.reams_per_week),
            figure(point.oee, 100),
            figure(point.waste, 100),
            against,
        )

    points = AnswerTable(
        "points",
        f"What the line makes with each {'value' if len(fields) < 2 else 'combination'} (a week of"
        " 168 h)",
        (
            *fields,
            Column("good reams"),
            Column("OEE", "%"),
            Column("paper wasted", "%"),
            Column("short of the best", "reams"),
        ),
        tuple(row(point) for point in found.points),
    )
    if len(found.spans) < 2:
        return (points,)
    down, across = found.spans
    reams = {p.values: p.reams_per_week for p in found.points}
    grid = AnswerTable(
        "map",
        f"Good reams a week: {down.name} down, {across.name} across",
        (Column(down.name, down.unit), *(Column(f"{value:g}") for value in across.values)),
        tuple(
            (
                f"{a:g}",
                *(None if (i := reams[a, b]) is None else figure(i) for b in across.values),
            )
            for a in down.values
        ),
    )
    return points, grid


def vary_charts(found: Varied) -> tuple[Chart, ...]:
    """Curves of one field, what tells its values apart among them, or a map of two."""
    fields = tuple(Column(span.name, span.unit) for span in found.spans)
    reams = Column("good reams", "reams a week")
    if len(found.spans) == 2:
        by_values = {p.values: p.reams_per_week for p in found.points}
        down, across = found.spans
        return (
            Map(
                "output",
                "What the line makes",
                fields[0],
                fields[1],
                reams,
                down.values,
                across.values,
                tuple(
                    tuple(
                        None if (i := by_values[a, b]) is None else figure(i) for b in across.values
                    )
                    for a in down.values
                ),
                (found.present_values[0], found.present_values[1]),
            ),
        )
    points = sorted(found.points, key=lambda p: p.values)

    def curve(name: str, title: str, y: Column, scale: float, pick: str) -> Curve:
        return Curve(
            name,
            title,
            fields[0],
            y,
            tuple(
                CurvePoint(
                    p.values[0], None if (i := getattr(p, pick)) is None else figure(i, scale)
                )
                for p in points
            ),
            found.present_values[0],
        )

    short = Curve(
        "short",
        f"How far each value falls short of the best, {found.best.values[0]:g}",
        fields[0],
        Column("short of the best", "reams a week"),
        tuple(CurvePoint(p.values[0], _short(found, p)) for p in points),
        found.present_values[0],
        of="paired difference, same random numbers",
    )
    return (
        curve("output", "What the line makes", reams, 1, "reams_per_week"),
        short,
        curve("effectiveness", "Overall effectiveness", Column("OEE", "%"), 100, "oee"),
        curve("waste", "Paper wasted", Column("paper wasted", "%"), 100, "waste"),
    )


def _short(found: Varied, point: Point) -> Figure | None:
    if point is found.best:
        return Figure(0.0, 0.0)
    return None if point.against_best is None else change(point.against_best)
