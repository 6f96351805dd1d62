"""The plants that the runs of a line meet: what is doubted of it, drawn anew for each square."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from linesim.record.capacity import line_rates
from linesim.scenario import Doubted, Scenario, doubted, drawn, scores, without_doubt
from linesim.scenario.doubts import with_correlations
from linesim.studies.outcome import Foreseen
from linesim.studies.run_spec import scenario_text


class PlantsMet:
    """Plants that agree with what is known of ``scenario``, and their mirror images."""

    def __init__(self, scenario: Scenario, seed: int) -> None:
        self.figures: tuple[Doubted, ...] = doubted(scenario)
        self.stated = without_doubt(scenario)
        self._seed = seed
        self._texts: dict[tuple[str, int], str] = {}
        self._foreseen: dict[int, Foreseen] = {}

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

    def _moved(self, plant: Mapping[str, float]) -> NDArray[np.float64]:
        """Half of plant less image, by station of the line: logarithms of the net rates."""
        image = {name: -score for name, score in plant.items()}
        here, there = (
            [rate.net for rate in line_rates(drawn(self.stated, self.figures, each))]
            for each in (plant, image)
        )
        pairs = zip(here, there, strict=True)
        return np.array([math.log(a / b) / 2 for a, b in pairs if 0 < a * b < math.inf])

    @cached_property
    def _covariance(self) -> tuple[tuple[float, ...], ...]:
        """Of the same over all plants: each figure alone moved by one normal score."""
        alone = []
        for figure in self.figures:
            own = {each.name: float(each is figure) for each in self.figures}
            alone.append(self._moved(with_correlations(self.figures, own)))
        slopes = np.array(alone)
        return tuple(tuple(row) for row in (slopes.T @ slopes).tolist())
