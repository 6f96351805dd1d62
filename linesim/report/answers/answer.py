"""What an answer is made of, and the turns of phrase that all answers share."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, TypeVar

from markupsafe import escape

from linesim.report.answers.advice import Advice
from linesim.report.answers.cells import cell_of, cell_text
from linesim.report.answers.charts import Chart
from linesim.report.answers.plots import plot_chart
from linesim.report.answers.tables import AnswerTable
from linesim.scenario.units import HOUR
from linesim.statistics import (
    Proportion,
    Quantile,
    counted,
    format_with_interval,
    half_width_text,
    rough,
)
from linesim.studies.differences import Difference, beyond_runs

if TYPE_CHECKING:
    from linesim.studies.faster_but_less import FasterButLess
    from linesim.studies.what_to_measure import MainFigure

_Named = TypeVar("_Named", AnswerTable, Chart)


@dataclass(frozen=True)
class AnswerContent:
    """What a study has to say, before what all answers carry.

    ``found`` is what its function in ``linesim.studies`` returned.
    """

    found: Any
    words: Sequence[str]
    tables: Sequence[AnswerTable] = ()
    charts: Sequence[Chart] = ()
    notes: Sequence[str] = ()
    brief: int = 2
    """How many of the ``words``, from the first, are the answer in brief."""
    variants: bool = True
    """Whether variants of the line were compared with each other."""
    prices: tuple[str, ...] = ()
    """The fields of [money] that say what the changes tried cost."""
    main: MainFigure | None = None
    """The figure that it is about; what to measure next is told of it."""
    start: str = ""
    """How runs start, where that is not as the scenario says."""
    advice: Advice | None = None
    """Unless given, the first of the ``words``."""


@dataclass(frozen=True)
class Answer:
    """Words, then tables, then notes. ``facts`` are what is needed to get the same again.

    ``brief``, ``variants``, ``prices``, ``advice`` and ``found`` as :class:`AnswerContent` has
    them; ``found`` are the figures as objects, for whoever calculates with them.
    """

    study: str
    scenario: str
    words: tuple[str, ...]
    tables: tuple[AnswerTable, ...]
    notes: tuple[str, ...] = ()
    facts: dict[str, str | int | float | bool | None] = field(default_factory=dict)
    charts: tuple[Chart, ...] = ()
    question: str = ""
    """The question in words, as a report puts it."""
    brief: int = 2
    variants: bool = True
    prices: tuple[str, ...] = ()
    found: Any = None
    advice: Advice | None = None

    @property
    def advised(self) -> Advice:
        """What it comes to."""
        return self.advice or Advice(self.words[0] if self.words else "")

    def table(self, name: str | None = None) -> AnswerTable:
        """The table of that name, or the first. Raises ``KeyError`` where there is none."""
        return _named(self.tables, name)

    def to_frame(self, table: str | None = None, library: str | None = None) -> Any:
        """A table as a frame of pandas or polars, or of ``library``: see :func:`frame`."""
        return self.table(table).to_frame(library)

    def plot(self, chart: str | None = None, axes: Any = None) -> Any:
        """Draw a chart, the first unless named, on matplotlib's ``axes`` or new ones; these.

        Raises ``KeyError`` where there is no such chart.
        """
        return plot_chart(_named(self.charts, chart), axes)

    def _repr_html_(self) -> str:
        words = (f"<p>{escape(text)}</p>" for text in self.words)
        notes = (f"<p><small>{escape(text)}</small></p>" for text in self.notes)
        return "\n".join([*words, *(each.html() for each in self.tables), *notes])


def _named(things: Sequence[_Named], name: str | None) -> _Named:
    for each in things:
        if name in (None, each.name):
            return each
    there = ", ".join(each.name for each in things) or "none"
    raise KeyError(f"there is no {name!r}; there are: {there}" if name else "there are none")


UNPAIRED = "± by separate runs"
"""What people call the half width of a difference of runs that were not paired."""


def two_digits(difference: Difference) -> float:
    """The half width the difference would have had without the pairing: an order of size."""
    return float(f"{difference.unpaired_half_width:.2g}")


def naming(sentence: str, things: Iterable[str], between: str = ", ") -> list[str]:
    """The sentence with these in place of {}; none where there are none."""
    named = between.join(things)
    return [sentence.format(named)] if named else []


def bounded_text(found: Proportion | Quantile, unit: str = "") -> str:
    """A share or a percentile with the ends of its interval."""
    return cell_text(cell_of(found, unit))


def few_runs_words(runs: int, needed: int) -> str:
    """Why the interval of a percentile, such as the end of a band, lacks an end."""
    return (
        f"{runs} runs are too few to say how far beyond them a percentile may lie: its interval is"
        f" open there (“or more”, “up to”), or there is none; {needed} runs tell both ends."
    )


def plus(difference: Difference) -> str:
    """A difference with its sign, such as "+620 ± 80"."""
    interval = difference.interval
    text = format_with_interval(abs(interval.mean), interval.half_width, interval.doubt)
    return ("−" if interval.mean < 0 else "+") + text


def verdict(difference: Difference, unit: str, *, of: str = "it") -> str:
    """What a paired difference shows, in words.

    No conclusion is drawn from an interval that spans 0. ``of`` is what makes the difference,
    empty where the sentence names it before.
    """
    interval = difference.interval
    if difference.shown:
        size = format_with_interval(abs(interval.mean), interval.half_width, interval.doubt)
        gives = f"{of} gives " if of else ""
        return f"{gives}{size} {unit} {'more' if interval.mean > 0 else 'less'}"
    if interval.mean == 0 and interval.half_width == 0:
        return f"{f'{of} changes nothing' if of else 'no change'}{_SAME}"
    named = f" for {of}" if of else ""
    return f"no difference shown{named} ({plus(difference)} {unit}); {more_runs(difference)}"


def faster_but_less_words(fast: str, slow: str, cost: FasterButLess) -> str:
    """Why a faster sheeter makes fewer reams, where its runs show it."""
    rejects = cost.rejects.interval.text()
    starts = ""
    if cost.starts is not None and cost.starts.shown:
        many = cost.starts.interval.text()
        starts = f" the webs start {many} more times a week, and"
    return (
        f"{fast} has the faster sheeter and makes fewer reams than {slow}:{starts} start-up rejects"
        f" take {rejects} reams more. What follows cannot take what it cuts; it is stopped sooner"
        " and pays for every start."
    )


def beyond_runs_words(doubt: float, unit: str = "") -> str:
    """That runs cannot tell, since what is not known reaches too far."""
    width = f"{half_width_text(doubt)} {unit}".rstrip()
    return f"more runs will not show it: what is not known is ± {width}"


_SAME = ": every run gave the same"
_NOTHING_SEEN = ("it changes nothing", "no change")


def with_orders_run_out(words: Sequence[str], hours: float, made_ns: int) -> list[str]:
    """An answer's words where orders are made before the hours end: nothing is said to change
    nothing, since it could not.

    >>> nothing = "It: no change: every run gave the same."
    >>> said, gain = with_orders_run_out([nothing], 168, 55 * HOUR)
    >>> said.partition(".")[0]
    'The orders run out: all are made before the 168 h of a run end, soonest after 55 h'
    >>> gain
    'It: cannot show here: all orders are made either way.'
    """
    told = "\n".join(words)
    for nothing in _NOTHING_SEEN:
        told = told.replace(f"{nothing}{_SAME}", "cannot show here: all orders are made either way")
    said = (
        f"The orders run out: all are made before the {hours:,g} h of a run end, soonest after"
        f" {made_ns / HOUR:,.3g} h. What is made is then what was ordered, whatever is changed:"
        " where no difference is shown below, that does not say that nothing matters. Ask over"
        " fewer hours than that; what-to-change, add-wrapper, meet-target and plan-orders count by"
        " when orders are done."
    )
    return [said, *told.split("\n")]


def more_runs(difference: Difference) -> str:
    """How many more runs would show a difference of the size met; or that none would."""
    if beyond_runs(difference.interval):
        return beyond_runs_words(difference.interval.doubt)
    if difference.more_runs is None:
        return "one so small would take more runs than are worth making"
    return f"{counted(difference.more_runs, 'more run')} would show one of this size"


def pairing_note(narrowing: float) -> str:
    """What meeting the same random numbers was worth."""
    if narrowing > 1e6:
        return "Every pair of runs differed by the same amount."
    what, times = ("narrower", narrowing) if narrowing >= 1 else ("wider", 1 / (narrowing or 1.0))
    return (
        "Runs are paired: both sides met the same random numbers, which made the interval"
        f" {rough(times)} times {what} than two independent samples would give."
    )
