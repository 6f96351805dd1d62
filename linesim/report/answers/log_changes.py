"""What a new log changes: against the logs before it, and against what a scenario had from one."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.plant.few_stops import Ends
from linesim.plant.fitting import FittedLaw
from linesim.plant.logs_compared import CauseOverLogs, LogsCompared
from linesim.plant.moved_figures import MovedFigure
from linesim.plant.running_meter import UNITS
from linesim.report.answers.answer import naming
from linesim.report.answers.cells import Column, p_cell, p_text
from linesim.report.answers.log_tables import in_digits, large_unit, mean_cells
from linesim.report.answers.tables import AnswerTable

_DIGITS = 3


def change_words(compared: LogsCompared) -> list[str]:
    """Causes that come at another rate in the newest log."""
    shown = [each for each in compared.causes if each.changed]
    if not shown:
        return [
            f"No cause is shown to come more or less often in {compared.newest} than before (exact"
            " test of each rate, all taken together)."
        ]
    return naming(
        f"Other in {compared.newest} than before: {{}}. All logs together give an average, which is"
        " neither.",
        (f"{c.fit.matched.cause} comes {_times(c)} ({p_text(c.p)})" for c in shown),
        "; ",
    )


def _times(each: CauseOverLogs) -> str:
    if not each.count_before:
        return "for the first time"
    if not each.count_new:
        return "no more"
    ratio = each.ratio
    return f"{ratio:.2g} times as often"


def change_table(compared: LogsCompared) -> AnswerTable:
    """Cause by cause: stops, the test of equal rates, and how the interval of the mean narrowed."""
    return AnswerTable.of(
        "logs",
        f"Before {compared.newest} and new in it; how much narrower all logs make intervals",
        compared.causes,
        ("cause", lambda c: c.fit.matched.cause),
        ("before", lambda c: c.count_before),
        ("new", lambda c: c.count_new),
        (Column("p", left=True), _shown),
        (Column("mean before", left=True, rank=2), lambda c: _ends(c, c.before)),
        (
            Column("mean of all", left=True),
            lambda c: f"{_ends(c, c.fit.interval)} {large_unit(c.fit.meter.unit)[1]}",
        ),
        (Column("width", rank=1), _width),
    )


def _shown(each: CauseOverLogs) -> str:
    """Chance of such counts at one rate, and what is shown, if anything is."""
    what = "" if not each.changed else ", more" if each.ratio > 1 else ", fewer"
    return f"{p_cell(each.p)}{what}"


def _ends(each: CauseOverLogs, law: FittedLaw | None) -> str:
    if law is None:
        return "none"
    mean, low, high = mean_cells(law, each=large_unit(each.fit.meter.unit)[0])
    return f"{mean} ({low}–{high})"


def _width(each: CauseOverLogs) -> str:
    if each.narrower is None:
        return "-"
    return f"{'−' if each.narrower > 0 else '+'}{100 * abs(each.narrower):.0f} %"


def moved_words(moved: Sequence[MovedFigure]) -> list[str]:
    """Which figures lie outside of what an earlier log allowed."""
    if not moved:
        return []
    outside = [each for each in moved if each.outside]
    if not outside:
        return [
            "The scenario holds an earlier fit: no mean has moved out of the 95 % interval that it"
            " had."
        ]
    # Of two equal normal figures: P(|z| > 1.96 / sqrt 2) = 0.166.
    by_chance = " Another log as long as the earlier one does that by chance to one mean in six."
    return naming(
        "The scenario holds an earlier fit, and these means have moved out of the 95 % interval"
        f" that they had: {{}}.{by_chance}",
        (
            f"{each.cause} ({_field(each)} {_in(each, each.old)}, now {_in(each, each.new)})"
            for each in outside
        ),
    )


def moved_table(moved: Sequence[MovedFigure]) -> AnswerTable:
    """Means of the earlier fit beside those of this one."""
    return AnswerTable.of(
        "moved",
        "Means of the earlier fit in the scenario, and of this one, with 95 % intervals",
        moved,
        ("cause", lambda m: m.cause),
        (Column("mean of", left=True), _field),
        (Column("before", left=True), lambda m: _with_ends(m, m.old, m.old_ends)),
        (Column("now", left=True), lambda m: _with_ends(m, m.new, m.new_ends)),
        (Column("in", left=True), lambda m: _unit(m)[1]),
        (Column("now is", left=True), lambda m: "outside" if m.outside else "within"),
    )


def _field(moved: MovedFigure) -> str:
    return "time to restore" if moved.field == "restore_min" else "interval"


def _unit(moved: MovedFigure) -> tuple[int, str]:
    return large_unit(UNITS.get(moved.field, "min"))


def _in(moved: MovedFigure, value: float) -> str:
    return in_digits(value / _unit(moved)[0], _DIGITS)


def _with_ends(moved: MovedFigure, value: float, ends: Ends) -> str:
    low, high = (_in(moved, end) for end in ends)
    return f"{_in(moved, value)} ({low}–{high})"
