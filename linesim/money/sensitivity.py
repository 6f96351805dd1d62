"""The present value against each input of the sum, and where each of them makes it nothing.

One input is moved at a time, all others stay where they are (a tornado, sorted by width). A
break-even is the value of an input, nearest to where it stands, at which the present value is
nothing: of the rate it is the internal rate of return.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Literal, get_args

import numpy as np
import scipy

from linesim.money.yearly import Prices, Purchase, Year, present_value

InputName = Literal[
    "more_reams",
    "more_waste",
    "more_parts",
    "contribution",
    "demand",
    "hours",
    "capital",
    "running_cost",
    "wages",
    "waste_price",
    "rate",
    "years",
]
INPUTS: tuple[InputName, ...] = get_args(InputName)

_STEPS = 60
_FARTHEST = 20.0
"""A break-even is looked for up to so many times the value ..."""
_HIGHEST_RATE = 10.0
"""... of the rate, which says little where it is low, up to this: 1,000 % a year."""


@dataclass(frozen=True)
class Case:
    """A purchase as the sum has it: all single figures.

    ``hours`` are the manned hours of the two years, in which the line makes ``weeks`` of its weeks:
    so many reams a year are one ream a week more. ``hourly_wages`` is the part of the wages that
    goes by the hour.
    """

    before: Year
    after: Year
    prices: Prices
    purchase: Purchase
    hours: float
    weeks: float
    hourly_wages: float = 0.0

    @property
    def present_value(self) -> float:
        """Of the purchase, as all inputs stand."""
        return present_value(self.before, self.after, self.prices, self.purchase)

    def value(self, name: InputName) -> float | None:
        """An input as it stands: reams a week, kg and money a year for what is made, wasted and
        worn more, the others in the units of :mod:`linesim.money.yearly`. None: no demand."""
        prices, bought = self.prices, self.purchase
        return {
            "more_reams": (self.after.reams - self.before.reams) / self.weeks,
            "more_waste": self.after.waste_kg - self.before.waste_kg,
            "more_parts": self.after.parts - self.before.parts,
            "contribution": prices.contribution,
            "demand": prices.demand,
            "hours": self.hours,
            "capital": bought.capital,
            "running_cost": bought.running_cost,
            "wages": bought.wages,
            "waste_price": prices.waste_per_t,
            "rate": prices.rate,
            "years": bought.years,
        }[name]

    def moved(self, name: InputName, to: float) -> Case:
        """The case with one input at another value."""
        after, before = self.after, self.before
        match name:
            case "more_reams":
                return replace(self, after=replace(after, reams=before.reams + to * self.weeks))
            case "more_waste":
                return replace(self, after=replace(after, waste_kg=before.waste_kg + to))
            case "more_parts":
                return replace(self, after=replace(after, parts=before.parts + to))
            case "contribution":
                return replace(self, prices=replace(self.prices, contribution=to))
            case "demand":
                return replace(self, prices=replace(self.prices, demand=to))
            case "waste_price":
                return replace(self, prices=replace(self.prices, waste_per_t=to))
            case "rate":
                return replace(self, prices=replace(self.prices, rate=to))
            case "capital":
                return replace(self, purchase=replace(self.purchase, capital=to))
            case "running_cost":
                return replace(self, purchase=replace(self.purchase, running_cost=to))
            case "wages":
                return replace(self, purchase=replace(self.purchase, wages=to))
            case "years":
                return replace(self, purchase=replace(self.purchase, years=to))
            case "hours":
                return self._manned(to / self.hours)

    def _manned(self, times: float) -> Case:
        def longer(year: Year) -> Year:
            return Year(year.reams * times, year.waste_kg * times, year.parts * times)

        wages = self.purchase.wages + self.hourly_wages * (times - 1)
        return replace(
            self,
            before=longer(self.before),
            after=longer(self.after),
            purchase=replace(self.purchase, wages=wages),
            hours=self.hours * times,
            weeks=self.weeks * times,
            hourly_wages=self.hourly_wages * times,
        )


@dataclass(frozen=True)
class Input:
    """An input of the sum and the two ends between which it is taken to lie.

    ``known_from`` is how the ends are known: from the runs, as the scenario doubts it, or assumed.
    """

    name: InputName
    low: float
    high: float
    known_from: Literal["runs", "doubt", "assumed"]

    @property
    def ends(self) -> tuple[float, float]:
        """The lower and the upper one."""
        return self.low, self.high


@dataclass(frozen=True)
class Swing:
    """What an input alone does to the present value.

    ``value`` is where it stands; ``at_low`` and ``at_high`` the present values at its two ends,
    ``break_even`` the value that makes it nothing, None where none does.
    """

    input: Input
    value: float
    at_low: float
    at_high: float
    break_even: float | None

    @property
    def width(self) -> float:
        """Between the present values at both ends."""
        return abs(self.at_high - self.at_low)

    @property
    def moved_by(self) -> float | None:
        """How far the break-even is from the value, as a part of it; None where there is none."""
        if self.break_even is None or not self.value:
            return None
        return self.break_even / self.value - 1


def tornado(case: Case, inputs: Iterable[Input]) -> tuple[Swing, ...]:
    """What each input does to the present value of the case, the widest first.

    >>> case = Case(
    ...     Year(0, 0), Year(100, 0), Prices(2.0, None, 0.0, 0.0), Purchase(500, 0, 0, 5), 1, 1
    ... )
    >>> [swing] = tornado(case, [Input("contribution", 1.5, 2.5, "assumed")])
    >>> swing.at_low, swing.at_high, swing.break_even
    (250.0, 750.0, 1.0)
    """
    swings = []
    for each in inputs:
        value = case.value(each.name)
        assert value is not None
        swings.append(
            Swing(
                each,
                value,
                case.moved(each.name, each.low).present_value,
                case.moved(each.name, each.high).present_value,
                break_even(case, each.name),
            )
        )
    return tuple(sorted(swings, key=lambda swing: -swing.width))


def break_even(case: Case, name: InputName) -> float | None:
    """The value of an input at which the present value is nothing; the nearest, if several.

    None where there is none from nothing to twenty times what it is; ``hours`` go up to those of a
    year, the ``rate`` to 1,000 % a year.
    """
    value = case.value(name)
    assert value is not None

    def worth(at: float) -> float:
        return case.moved(name, at).present_value

    low, high = _ends(name, value)
    # Away from where it stands on both sides, so that the nearest is met first.
    ends = (_first_root(worth, value, end) for end in (low, high))
    roots = [root for root in ends if root is not None]
    return min(roots, key=lambda root: abs(root - value), default=None)


def _ends(name: InputName, value: float) -> tuple[float, float]:
    most = _FARTHEST * abs(value)
    if name == "hours":
        return 1.0, 8784.0
    if name == "years":
        return min(0.01, value), most
    if name == "rate":
        return 0.0, max(_HIGHEST_RATE, most)
    if value < 0:
        return -most, 0.0
    # No more of it at all is the end: beyond, the change would be another one.
    return 0.0, most


def _first_root(worth: Callable[[float], float], start: float, end: float) -> float | None:
    places: Sequence[float] = np.linspace(start, end, _STEPS + 1).tolist()
    values = [worth(at) for at in places]
    if not values[0]:
        return start
    for n in range(_STEPS):
        if values[n] * values[n + 1] < 0:
            found: float = scipy.optimize.brentq(
                worth, *sorted(places[n : n + 2]), xtol=1e-12 * max(abs(start), abs(end))
            )
            return found
        if not values[n + 1] and values[n]:
            return places[n + 1]
    return None
