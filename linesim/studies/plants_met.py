"""The plants that the runs of a line meet: what is doubted of it, drawn anew for each square."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import cached_property, lru_cache

import numpy as np
from numpy.typing import NDArray

from linesim.record.capacity import line_rates
from linesim.scenario import Doubted, Scenario, doubted, drawn, scores, without_doubt
from linesim.scenario.doubts import Scores, with_correlations
from linesim.statistics import SQUARE, Crossing
from linesim.studies.outcome import Foreseen, Outcome
from linesim.studies.run_spec import scenario_text

_NODES = 4
"""Normal scores at which a figure is taken, half of them above 0: enough for skew doubts."""
NEAR = float(np.polynomial.hermite_e.hermegauss(_NODES)[0][(_NODES + 1) // 2])
"""The least score above 0 among them."""
_LEAST = 0.01
"""Of the stated net rate: a logarithm needs something."""


def corner_of(n: int, first: int = 0) -> tuple[int, int]:
    """The plant and the replication of the n-th of crossed runs, from 0: a corner of a square.

    ``first`` is the replication of the first of them.
    """
    number = 1 + first + n // SQUARE
    return -number if n % 2 else number, first + n // 2


class PlantsMet:
    """Plants that agree with what is known of ``scenario``, and their mirror images."""

    def __init__(self, scenario: Scenario, seed: int) -> None:
        self.figures: tuple[Doubted, ...] = doubted(scenario)
        self.stated = without_doubt(scenario)
        self._seed = seed
        self._texts: dict[tuple[str, int], str] = {}
        self._foreseen: dict[int, Foreseen] = {}

    @property
    def crossed(self) -> bool:
        """Whether anything but prices is doubted, so that runs differ from plant to plant."""
        return any(not each.is_money for each in self.figures)

    def text(self, variant: str, plant: int) -> str:
        """A variant (text of a run's scenario) in a plant: its number from 1, below 0 the image."""
        if (variant, plant) not in self._texts:
            there = self.line(Scenario.model_validate_json(variant), plant)
            self._texts[variant, plant] = scenario_text(there)
        return self._texts[variant, plant]

    def line(self, variant: Scenario, plant: int) -> Scenario:
        """A variant in a plant by its number; as it is for 0."""
        return drawn(variant, self.figures, self._scores(plant)) if plant else variant

    def foreseen(self, number: int) -> Foreseen:
        """What the net rates of the stations foresee of the plant of that number, from 1."""
        if number not in self._foreseen:
            moved = tuple(self._moved(self._scores(number)).tolist())
            self._foreseen[number] = Foreseen(moved, self._covariance)
        return self._foreseen[number]

    def _scores(self, plant: int) -> dict[str, float]:
        found = scores(self.figures, self._seed, abs(plant) - 1)
        return {name: math.copysign(1, plant) * score for name, score in found.items()}

    def _moved(self, plant: Scores) -> NDArray[np.float64]:
        return np.array(list(net_rates_moved(self.stated, self.figures, plant).values()))

    @cached_property
    def _covariance(self) -> tuple[tuple[float, ...], ...]:
        """Of the same over all plants: each figure moved alone, by Gauss and Hermite's rule."""
        scores, weights = np.polynomial.hermite_e.hermegauss(_NODES)
        nodes = list(zip(scores[_NODES // 2 :].tolist(), weights[_NODES // 2 :], strict=True))
        stations = len(self._moved({each.name: 0.0 for each in self.figures}))
        total = np.zeros((stations, stations))
        for n in range(len(self.figures)):
            for score, weight in nodes:
                alone = net_rates_by_figure(self.stated, self.figures, score)[n]
                moved = np.array(list(alone.values()))
                total = total + 2 * weight / math.sqrt(2 * math.pi) * np.outer(moved, moved)
        return tuple(tuple(row) for row in total.tolist())


def net_rates_moved(
    line: Scenario, figures: tuple[Doubted, ...], plant: Scores
) -> dict[str, float]:
    """Half of plant less image, by station of the line: logarithms of the net rates.

    Of the same stations for every plant: those that ``line`` has a net rate of. A station that its
    own stops leave next to nothing of counts with a hundredth of that.
    """
    image = {name: -score for name, score in plant.items()}
    here, there = (line_rates(drawn(line, figures, each)) for each in (plant, image))
    return {
        stated.station: math.log(max(a.net, stated.net * _LEAST) / max(b.net, stated.net * _LEAST))
        / 2
        for stated, a, b in zip(line_rates(line), here, there, strict=True)
        if 0 < stated.net < math.inf
    }


@lru_cache(maxsize=16)
def net_rates_by_figure(
    line: Scenario, figures: tuple[Doubted, ...], score: float
) -> tuple[Mapping[str, float], ...]:
    """The same of each figure moved alone to a score, with the spread that goes with a mean."""
    names = [each.name for each in figures]
    alone = ({each: score * (each == name) for each in names} for name in names)
    return tuple(net_rates_moved(line, figures, with_correlations(figures, e)) for e in alone)


def foreseen_by(
    figures: Sequence[Doubted], every: tuple[Doubted, ...], seed: int, rows: Sequence[Outcome]
) -> Crossing | None:
    """What some of the doubted ``figures`` foresee of what goes with them in crossed runs.

    Such as the interval of a cause, of how often it stops a station. ``every`` figure was drawn in
    the runs with ``seed``. Their logarithms are taken; None where they are not above 0.
    """
    figures = [each for each in figures if min(each.doubt.between[0], each.value) > 0]
    if not figures:
        return None
    met = [scores(every, seed, row.plant - 1) for row in rows if row.plant > 0][::2]
    alone = [math.log(e.moved(e.value, 1.0) / e.moved(e.value, -1.0)) / 2 for e in figures]
    moved = [[s * plant[e.name] for s, e in zip(alone, figures, strict=True)] for plant in met]
    return Crossing(np.array(moved), np.diag(np.square(alone)))
