"""The answer to: how long should the bridge be?"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from linesim.report.answers.answer import (
    AnswerContent,
    beyond_runs_words,
    pairing_note,
    verdict,
)
from linesim.report.answers.best_size_words import (
    best_size_words,
    levels_note,
    metres_text,
    room_words,
    size_advice,
    size_money_tables,
)
from linesim.report.answers.bridge_sizes import PAYS
from linesim.report.answers.cells import Column, Found
from linesim.report.answers.charts import NOW, PAIRED, Curve, curve, stretches
from linesim.report.answers.money_tables import MONEY_NOTE
from linesim.report.answers.tables import AnswerTable
from linesim.report.plain import capital
from linesim.scenario import CURRENCY, Scenario
from linesim.scenario.buffers import bridge_of
from linesim.statistics import counted, rough
from linesim.studies.bridge_levels import BestLevels, Levels
from linesim.studies.size_bridge import BridgePoint, BridgeSize, BridgeStep
from linesim.studies.what_to_measure import MainFigure


def size_bridge_answer(
    scenario: Scenario, found: BridgeSize, best: BestLevels | None
) -> AnswerContent:
    """The answer of ``size-bridge``."""
    return AnswerContent(
        found,
        bridge_words(scenario, found, best),
        _tables(scenario, found, best),
        bridge_charts(found),
        _notes(scenario, found),
        prices=("ream_place_cost",),
        main=_main_figure(found),
        advice=size_advice(found.best, "longer_bridge"),
    )


def _main_figure(found: BridgeSize) -> MainFigure | None:
    """What the length that the answer names brings; where it is the present one, its output."""
    named = found.pays_up_to or found.fails_beyond or found.points[-1].places
    point = next(each for each in found.points if each.places == named)
    gain = point.sized.gain if named != found.present else None
    return MainFigure.gain(gain, point.reams_per_week)


def bridge_words(scenario: Scenario, found: BridgeSize, best: BestLevels | None) -> list[str]:
    """Where the curve stops paying, what it says, and which levels to set."""
    first, last = found.points[0], found.points[-1]
    present = next(p for p in found.points if p.places == found.present)
    best_size, *others = best_size_words(found.best)
    return [
        f"“{scenario.line.name}”: {best_size[0].lower()}{best_size[1:]}",
        capital(_knee(found)),
        *others,
        f"With its {_length(found, found.present)} the line makes"
        f" {present.reams_per_week.text()} good reams a week;"
        f" the sheeter is blocked for {present.blocked_h_per_week.text()} h of it."
        f" With {_length(found, first.places)} it makes {first.reams_per_week.text()};"
        f" with {_length(found, last.places)}, {last.reams_per_week.text()}.",
        *([] if best is None else [_levels(best)]),
        _theory(found),
    ]


def _length(found: BridgeSize, places: int) -> str:
    """A length that was run, in places and in metres: a hall has metres."""
    point = next(each for each in found.points if each.places == places)
    return f"{places:,} places ({metres_text(point.metres)} m)"


def _knee(found: BridgeSize) -> str:
    if found.yearly_cost_per_place is not None:
        bar = f"what it costs ({rough(found.yearly_cost_per_place)} {CURRENCY} a year)"
    else:
        share = f"{100 * found.asked_fraction:g} %"
        bar = f"the asked {share} of the output (a place or a ream has no price)"
    most = found.points[-1].places
    if found.fails_beyond is None and found.pays_up_to == most:
        return (
            f"up to {_length(found, most)}, the most tried, each further place is shown to earn"
            f" more than {bar}."
        )
    if found.fails_beyond is not None:
        sentence = (
            f"beyond {_length(found, found.fails_beyond)} a further place earns less than {bar}."
        )
    else:
        sentence = (
            f"up to {_length(found, most)}, the most tried, no length is shown"
            f" from which a further place earns less than {bar}."
        )
    if found.pays_up_to is not None:
        sentence += (
            f" Up to {_length(found, found.pays_up_to)} a further place is shown to earn more."
        )
    elif paying := _stretches([step for step in found.steps if step.pays]):
        sentence += f" From {paying} places a further place is shown to earn more."
    else:
        sentence += " No further place is shown to earn more."
    doubtful = [step for step in found.steps if step.pays is None]
    if doubtful:
        sentence += f" From {_stretches(doubtful)} places it is not clear yet. {_needed(doubtful)}"
    return sentence


def _stretches(steps: list[BridgeStep]) -> str:
    """Steps in words, those that follow each other as one."""
    ends: list[tuple[int, int]] = []
    for step in steps:
        if ends and ends[-1][1] == step.start:
            ends[-1] = ends[-1][0], step.end
        else:
            ends.append((step.start, step.end))
    return ", ".join(f"{start:,} to {end:,}" for start, end in ends)


def _needed(doubtful: list[BridgeStep]) -> str:
    counts = sorted(step.more_runs for step in doubtful if step.more_runs is not None)
    beyond = [step for step in doubtful if step.beyond_runs]
    if beyond:
        most = max(step.beyond_runs for step in beyond)
        unit = "reams a week" if beyond[0].worth_per_place is None else f"{CURRENCY} a year"
        where = f" from {_stretches(beyond)} places" if len(beyond) < len(doubtful) else ""
        said = f"{beyond_runs_words(most, unit)} for a place{where}."
        return capital(said)
    if not counts:
        return "It makes so little difference there that more runs are not worth making."
    few, many = counts[0], counts[-1]
    if few == many:
        return f"{counted(few, 'more run')} would show it."
    return f"Depending on the step, {few:,} to {many:,} more runs would show it."


def _levels(best: BestLevels) -> str:
    if best.best == best.present:
        return f"Of {len(best.rows)} sets of levels tried, the present one gave most."
    what = f"Best of {len(best.rows)} sets of levels tried: {levels_text(best.best)}"
    if best.confirmed is None:
        return f"{what}. It was not checked with fresh random numbers."
    sure = verdict(best.confirmed, "reams a week")
    return f"{what}. Against the present levels, with fresh random numbers: {sure}."


LEVELS_KEEP = (
    "the levels keep their distance from its end, the restart level its share of the stop level"
)


def levels_text(levels: Levels) -> str:
    """Levels in words."""
    if levels.stop is None:
        stop = "no stop level"
    else:
        stop = f"stop at {levels.stop}, restart at {levels.restart}"
    return stop + (f", slow from {levels.slow}" if levels.slow is not None else ", never slowed")


def _theory(found: BridgeSize) -> str:
    if not found.theory.fit:
        return f"There is no estimate by formula here: {found.theory.reservations[0]}."
    if not found.theory.reservations:
        return "This line is what the estimate by formula assumes: compare the two columns."
    return (
        "The estimate by formula beside it (all before and all behind the bridge as two unreliable"
        " stations with a buffer between) simplifies this line: "
        + "; ".join(found.theory.reservations)
        + "."
    )


def _tables(
    scenario: Scenario, found: BridgeSize, best: BestLevels | None
) -> tuple[AnswerTable, ...]:
    """The curve, its steps, the money of a longer bridge, and the levels."""
    lengths = AnswerTable.of(
        "curve",
        "What the line makes with so many places (a week of 168 h)",
        found.points,
        ("places", lambda p: p.places),
        (Column("length", "m"), lambda p: p.metres),
        ("good reams", lambda p: p.reams_per_week),
        (Column("OEE", "%", rank=1), lambda p: p.oee),
        (Column("sheeter blocked", "h", rank=2), lambda p: p.blocked_h_per_week),
        # A closed form of rough rates: three digits say what it can.
        (
            Column("two-station estimate", "reams", said="by formula, two stations", rank=3),
            lambda p: p.theory_reams_per_week and float(f"{p.theory_reams_per_week:.3g}"),
        ),
    )
    steps = AnswerTable.of(
        "steps",
        "What each further place brings",
        found.steps,
        ("from", lambda s: s.start),
        ("to", lambda s: s.end),
        (Column("gain per place", "reams a week"), lambda s: s.gain_per_place),
        (Column("worth per place", "money a year"), lambda s: s.worth_per_place),
        (Column("verdict", left=True), lambda s: PAYS[s.pays]),
    )
    tables = [lengths, steps, *size_money_tables(scenario, found.best)]
    if best is None:
        return tuple(tables)
    levels = AnswerTable.of(
        "levels",
        "Levels of the present bridge, best first (a week of 168 h)",
        best.rows,
        ("levels", lambda r: levels_text(r.levels) + " (present)" * (r.levels == best.present)),
        ("good reams", lambda r: r.reams_per_week),
        ("against the present", lambda r: r.against_present),
        (Column("cuts rejected after stops", rank=1), lambda r: r.starts_rejects_per_week),
    )
    return (*tables, levels)


def bridge_charts(found: BridgeSize) -> tuple[Curve, ...]:
    """What a length brings, output with the closed form beside it, effectiveness, hours blocked.

    What decides is the paired gain, known far better than the outputs it lies between.
    """
    places, every = Column("places on the bridge"), found.points

    def over(
        name: str, title: str, y: Column, pick: Callable[[BridgePoint], Found], **more: Any
    ) -> Curve:
        rows = ((p.places, pick(p)) for p in every if pick(p) is not None)
        return curve(name, title, places, y, rows, float(found.present), **more)

    reams = "reams a week"
    gain = over(
        "gain",
        f"What so many places bring against the present {found.present:,}",
        Column("good reams more", reams),
        lambda p: p.sized.gain,
        of=PAIRED,
        gain=NOW,
        pays=stretches((float(p.places), p.sized.shown_to_pay) for p in every),
        best=float(found.best.best.places[0]),
    )
    output = over(
        "output",
        "What the line makes",
        Column("good reams", reams),
        lambda p: p.reams_per_week,
        theory={p.places: p.theory_reams_per_week for p in every},
        theory_name="by formula, two stations",
    )
    blocked = Column("blocked", "h a week")
    return (
        gain,
        output,
        over("effectiveness", "Overall effectiveness (OEE)", Column("OEE", "%"), lambda p: p.oee),
        over("blocked", "Sheeter blocked", blocked, lambda p: p.blocked_h_per_week),
    )


def _notes(scenario: Scenario, found: BridgeSize) -> list[str]:
    """What was assumed."""
    narrowing = sorted(step.gain_per_place.narrowing for step in found.steps)
    longest = (f"No longer bridge was tried: {room_words(bridge_of(scenario))}.",)
    return [
        f"On a longer bridge {LEVELS_KEEP}; the belt grows with the places, and travel with it.",
        *levels_note(scenario, (point.places for point in found.points)),
        *(longest if found.points[-1].places >= bridge_of(scenario).most else ()),
        *([] if found.yearly_cost_per_place is None else [MONEY_NOTE]),
        pairing_note(narrowing[len(narrowing) // 2]) + " (Median of the steps.)",
    ]
