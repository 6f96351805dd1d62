"""Which inputs the advised change hangs on: the present value against each, and its break-even."""

from __future__ import annotations

import math
from dataclasses import replace

from linesim.money import InputName, Purchase, Swing
from linesim.report.answers.answer import AnswerContent
from linesim.report.answers.cells import Bounded, Cell, Column, Known, cell_text, written_bounded
from linesim.report.answers.charts import Tornado, TornadoBar
from linesim.report.answers.tables import AnswerTable
from linesim.scenario import CURRENCY
from linesim.statistics import last_digit
from linesim.studies.sensitivity import ASSUMED
from linesim.studies.worth import Worth

NAME = "each-input"
_SAID = 3
"""So many break-evens are said in words, the nearest."""

_LABELS: dict[InputName, tuple[str, str, float]] = {
    "more_reams": ("more reams a week", "", 1),
    "more_waste": ("more waste a year", "t", 1e-3),
    "more_parts": ("more parts a year", CURRENCY, 1),
    "contribution": ("contribution of a ream", CURRENCY, 1),
    "demand": ("demand", "reams a year", 1),
    "hours": ("manned hours a year", "h", 1),
    "capital": ("capital", CURRENCY, 1),
    "running_cost": ("running cost a year", CURRENCY, 1),
    "wages": ("wages a year", CURRENCY, 1),
    "waste_price": ("waste, a tonne", CURRENCY, 1),
    "rate": ("discount rate", "%", 100),
    "years": ("years it lasts", "", 1),
}
"""Of each input: what it is called, its unit, and how many of that one of the sum's is."""
_KNOWN = {"runs": "runs", "doubt": "scenario", "assumed": "assumed"}


def with_tornado(content: AnswerContent) -> AnswerContent:
    """The content with what its advised change hangs on; unchanged where nothing is spent."""
    worth = None if content.advice is None else content.advice.worth
    if worth is None or not _spends(worth.purchase) or not worth.swings:
        return content
    limited = [_LIMITED] if any(each.input.name == "demand" for each in worth.swings) else []
    return replace(
        content,
        words=(*content.words, *break_even_words(worth)),
        tables=(*content.tables, tornado_table(worth)),
        charts=(*content.charts, tornado_chart(worth)),
        notes=(*content.notes, TORNADO_NOTE, *limited),
    )


def _spends(bought: Purchase) -> bool:
    return any((bought.capital, bought.running_cost, bought.wages))


def break_even_words(worth: Worth) -> list[str]:
    """How far inputs may go until the change brings nothing, or must until it does.

    Nothing where the sign of its present value is not known.
    """
    if worth.present_value.contains(0):
        return []
    # Two that only multiply one another lie equally far; their last digits are to order nothing.
    known = [
        (round(abs(by), 6), swing) for swing in worth.swings if (by := swing.moved_by) is not None
    ]
    nearest = [swing for _, swing in sorted(known, key=lambda pair: pair[0])[:_SAID]]
    if not nearest:
        return []
    pays = worth.present_value.mean > 0
    head = "It stops paying" if pays else "It would only pay"
    return [
        f"{head} where one of these alone, all else as it is, goes so far:"
        f" {'; '.join(_moved_words(each) for each in nearest)}."
    ]


def _moved_words(swing: Swing) -> str:
    assert swing.break_even is not None
    assert swing.moved_by is not None
    name, unit, _ = _LABELS[swing.input.name]
    way = "up" if swing.break_even > swing.value else "down"
    amount = f"{cell_text(_break_even(swing))} {unit}".rstrip()
    return f"{name} {way} to {amount} (by {abs(100 * swing.moved_by):,.0f} %)"


def tornado_table(worth: Worth) -> AnswerTable:
    """Each input between its ends, what that makes of the present value, and the break-even."""
    return AnswerTable.of(
        NAME,
        _title(worth),
        worth.swings,
        ("input", lambda each: _label(each.input.name)),
        ("now", _value),
        (Column("known from", left=True, rank=2), lambda each: _KNOWN[each.input.known_from]),
        (Column("value at lower end", "money", rank=1), lambda each: _known(worth, each.at_low)),
        (Column("value at upper end", "money", rank=1), lambda each: _known(worth, each.at_high)),
        ("break-even", _break_even),
        (Column("from now", "%"), _moved),
    )


def _title(worth: Worth) -> str:
    return f"{_TITLE}; as all stands: {worth.present_value.text()} {CURRENCY}"


def _known(worth: Worth, value: float) -> float:
    """One digit finer than the present value is known: what a move makes of it is known better
    than either, since both rest on the same runs."""
    both = worth.present_value.both
    return round(value, 1 - last_digit(both)) if 0 < both < math.inf else value


def _label(name: InputName) -> str:
    said, unit, _ = _LABELS[name]
    return f"{said}, {unit}" if unit else said


def _value(swing: Swing) -> Bounded:
    scale = _LABELS[swing.input.name][2]
    kind = Bounded if swing.input.known_from == "runs" else Known
    return kind(*(v * scale for v in (swing.value, *swing.input.ends)))


def _break_even(swing: Swing) -> Cell:
    if swing.break_even is None:
        return "none"
    return float(f"{swing.break_even * _LABELS[swing.input.name][2]:.3g}")


def _moved(swing: Swing) -> Cell:
    return None if swing.moved_by is None else round(100 * swing.moved_by)


def tornado_chart(worth: Worth) -> Tornado:
    """The table as bars."""
    bars = tuple(_bar(worth, each) for each in worth.swings)
    now = _known(worth, worth.present_value.mean)
    return Tornado(NAME, _title(worth), Column("present value", "money"), now, bars)


def _bar(worth: Worth, swing: Swing) -> TornadoBar:
    label, unit, _ = _LABELS[swing.input.name]
    ends = written_bounded(_value(swing)).partition("(")[2].rstrip(")")
    assumed = swing.input.known_from == "assumed"
    low, high = _known(worth, swing.at_low), _known(worth, swing.at_high)
    return TornadoBar(label, f"{ends} {unit}".rstrip(), low, high, assumed)


_TITLE = "Present value against each input alone"
_LIMITED = (
    "Reams and waste among these inputs are those of all manned hours; in the sum of a year they"
    " are those of the hours that make what the market takes."
)
TORNADO_NOTE = (
    "Each input of the sum is moved alone, all others stay as they are. Ends: the interval of the"
    " runs, the doubt in the scenario, or, where that says nothing,"
    f" {100 * ASSUMED:g} % less and more, an estimate nobody has looked into (common practice, no"
    " source): state a doubt to replace it. Break-even: where the present value is nothing; of the"
    " rate, the internal rate of return."
)
