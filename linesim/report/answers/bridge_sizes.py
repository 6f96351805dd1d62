"""What can be said of one bridge length out of those that were run."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from linesim.report.answers.answer import beyond_runs_words, more_runs, plus
from linesim.report.answers.best_size_words import places_text
from linesim.scenario import CURRENCY, Scenario, in_currency
from linesim.scenario.buffers import bridge_of
from linesim.statistics import counted, rough
from linesim.studies.differences import Difference
from linesim.studies.size_bridge import BridgePoint, BridgeSize, BridgeStep


@dataclass(frozen=True)
class SizeDescription:
    """What is known of one bridge length; ``rests_on`` are the lengths run that say it.

    That is the length itself, or the two it lies between. ``lines`` are pairs of a name and what
    is said.
    """

    places: int
    heading: str
    lines: tuple[tuple[str, str], ...]
    rests_on: tuple[int, ...]

    @property
    def spoken(self) -> str:
        """The same in one paragraph."""
        return ". ".join([self.heading, *(f"{name}: {words}" for name, words in self.lines)]) + "."


@dataclass(frozen=True)
class BridgeSizes:
    """The lengths run, with all that can be said of them and of what lies between."""

    scenario: Scenario
    found: BridgeSize

    @property
    def least(self) -> int:
        """The shortest, in places; one set of reams if that was run."""
        return max(self.run[0], bridge_of(self.scenario).least)

    @property
    def most(self) -> int:
        """The longest, in places."""
        return self.run[-1]

    @property
    def present(self) -> int:
        """The bridge there is, in places."""
        return self.found.present

    @property
    def best(self) -> int:
        """The length that the answer advises, in places."""
        return self.found.best.best.places[0]

    @property
    def run(self) -> tuple[int, ...]:
        """The lengths that were run, in places, shortest first."""
        return tuple(point.places for point in self.found.points)

    def at(self, places: int) -> SizeDescription:
        """What the runs say of a bridge with so many places.

        Between two lengths that were run both are stated: nothing is drawn in between. Raises
        ``ValueError`` for a length outside of those run.
        """
        ends = self._around(places)
        found, level = self.found, ends[0].reams_per_week.level
        basis = f"{found.runs} runs of {found.hours:g} h, {100 * level:.0f} % intervals"
        if len(ends) == 1:
            heading = f"{self.words(places)}: {basis}"
        else:
            low, high = (f"{end.places:,}" for end in ends)
            heading = (
                f"{self.words(places)}: not run; between {low} and {high}, which were ({basis})"
            )

        def each(words: Callable[[BridgePoint], str]) -> str:
            if len(ends) == 1:
                return words(ends[0])
            return "; ".join(f"with {end.places:,}: {words(end)}" for end in ends)

        lines = [
            ("Good reams a week", each(lambda end: end.reams_per_week.text())),
            (f"Against the present {self.present:,}, reams a week", each(self._gain)),
            ("Sheeter blocked, h a week", each(lambda end: end.blocked_h_per_week.text())),
            ("A further place", self._further(ends[0])),
        ]
        rests_on = tuple(end.places for end in ends)
        return SizeDescription(places, heading, tuple(lines), rests_on)

    def words(self, places: int) -> str:
        """A length in places and in metres."""
        return places_text(self.scenario, places)

    def _around(self, places: int) -> tuple[BridgePoint, ...]:
        """The point itself, or the one below and the one above."""
        below = [point for point in self.found.points if point.places <= places]
        above = [point for point in self.found.points if point.places >= places]
        if not below or not above:
            raise ValueError(f"{places} places: only {self.run[0]} to {self.run[-1]} were run")
        return (below[-1],) if below[-1] is above[0] else (below[-1], above[0])

    def _gain(self, point: BridgePoint) -> str:
        if point.places == self.present:
            return "it is the present one"
        return _gained(point.sized.gain)

    def _further(self, point: BridgePoint) -> str:
        step = next((each for each in self.found.steps if each.start == point.places), None)
        if step is None:
            return "not known: no longer bridge was run"
        brings = f"{step.gain_per_place.interval.text()} reams a week each"
        if step.worth_per_place is not None:
            brings += f", worth {step.worth_per_place.text()} {CURRENCY} a year"
        cost = self.found.yearly_cost_per_place
        must_bring = (
            f"{100 * self.found.asked_fraction:g} % of the output (a place or a ream has no price)"
            if cost is None
            else f"{rough(cost)} {CURRENCY} a year"
        )
        return in_currency(
            f"{PAYS[step.pays]} from {step.start:,} to {step.end:,}: {brings};"
            f" must bring {must_bring}{_to_tell(step)}",
            self.scenario.money.currency,
        )


PAYS = {True: "pays", False: "does not pay", None: "not clear"}


def _gained(gain: Difference) -> str:
    if gain.shown:
        return plus(gain)
    if gain.interval.mean == 0 and gain.interval.half_width == 0:
        return "every run gave the same"
    return f"{plus(gain)}, no difference shown ({more_runs(gain)})"


def _to_tell(step: BridgeStep) -> str:
    if step.pays is not None:
        return ""
    if step.beyond_runs:
        unit = "reams a week" if step.worth_per_place is None else f"{CURRENCY} a year"
        return f" ({beyond_runs_words(step.beyond_runs, unit)})"
    if step.more_runs is None:
        return " (more runs are not worth making)"
    return f" ({counted(step.more_runs, 'more run')} would show it)"
