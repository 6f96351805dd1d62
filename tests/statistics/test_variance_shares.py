"""Variance shares of many figures from few crossed squares, against linear toys of known shares."""

from typing import Any

import numpy as np
import pytest

from linesim.statistics import MainEffects, main_effects

FIGURES, STATIONS = 45, 4
LUCK, REST = 0.3, 0.1
"""Standard deviation of d by luck, and variance of what is no main effect, by that of the doubt."""


class Toy:
    """d = sum of beta z and some rest; ``most`` is what is foretold of each beta."""

    def __init__(self, seed: int, squares: int, kind: str) -> None:
        bits = np.random.default_rng(seed)
        self.stations = bits.integers(0, STATIONS, FIGURES)
        self.most = -np.exp(bits.normal(0, 1, FIGURES))
        if kind == "one station holds the line":
            passed = np.array([0.9, 0.2, 0.1, 0.1])[self.stations]
            reached = np.clip(passed + bits.normal(0, 0.1, FIGURES), 0, 1)
        elif kind == "three matter, and are foretold":
            self.most = -np.exp(bits.normal(-1.5, 0.5, FIGURES))
            self.most[:3] = -3, -2, -1
            reached = np.full(FIGURES, 0.6)
        else:
            reached = np.zeros(FIGURES)
            reached[bits.choice(FIGURES, 3, replace=False)] = bits.choice([-1, 1], 3)
        betas = self.most * reached
        whole = float((betas**2).sum())
        self.shares = betas**2 / whole / (1 + REST)
        self.scores = bits.standard_normal((squares, FIGURES))
        rest = np.sqrt(REST * whole) * bits.standard_normal((squares, 1))
        luck = LUCK * np.sqrt(whole) * bits.standard_normal((squares, 2))
        self.shifts = (self.scores @ betas)[:, None] + rest + luck
        self.known = (REST + LUCK**2 / 2) * whole

    def found(self) -> MainEffects:
        groups = range(FIGURES)
        shifts = self.shifts.ravel().tolist()
        return main_effects(shifts, self.scores, self.most, self.stations.tolist(), groups, seed=1)

    def by_ridge(self) -> Any:
        """Ridge regression with the same ``most``, its scale by likelihood, its noise given."""
        told, best = self.shifts.mean(axis=1), (-np.inf, np.zeros(FIGURES))
        for scale in 10.0 ** np.arange(-3, 0.5, 0.5):
            prior = scale * self.most**2
            within = self.scores * prior @ self.scores.T + self.known * np.eye(len(told))
            like = -np.linalg.slogdet(within)[1] - told @ np.linalg.solve(within, told)
            gain = prior[:, None] * self.scores.T
            mean = gain @ np.linalg.solve(within, told)
            left = prior - np.einsum("ij,ji->i", gain, np.linalg.solve(within, gain.T))
            best = max(best, (like, mean**2 + left), key=lambda each: each[0])
        return best[1] / best[1].sum() / (1 + REST)

    def by_least_squares(self) -> Any:
        betas = np.linalg.lstsq(self.scores, self.shifts.mean(axis=1), rcond=None)[0]
        return betas**2 / (betas**2).sum()

    def off(self, shares: Any) -> float:
        """How far the three greatest shares are off, on average."""
        great = np.argsort(-self.shares)[:3]
        return float(np.abs(shares - self.shares)[great].mean())


@pytest.mark.parametrize("kind", ["one station holds the line", "three matter, and are foretold"])
def test_24_runs_tell_more_than_by_ridge_and_least_squares(kind: str) -> None:
    toys = [Toy(seed, 6, kind) for seed in range(6)]
    found = [toy.found() for toy in toys]
    ours = np.mean([t.off(f.shares.mean(axis=0)) for t, f in zip(toys, found, strict=True)])
    assert ours < np.mean([toy.off(toy.by_ridge()) for toy in toys])
    assert ours < 0.75 * np.mean([toy.off(toy.by_least_squares()) for toy in toys])
    held = []
    for toy, each in zip(toys, found, strict=True):
        low, high = np.quantile(each.shares, [0.025, 0.975], axis=0)
        held += [low[n] <= toy.shares[n] <= high[n] for n in np.argsort(-toy.shares)[:3]]
    assert np.mean(held) >= 0.8


def test_three_that_nothing_foretells_are_found_by_as_many_runs_as_figures() -> None:
    toys = [Toy(seed, 24, "three matter, not foretold") for seed in range(4)]
    off = [(toy.off(toy.found().shares.mean(axis=0)), toy.off(toy.by_ridge())) for toy in toys]
    ours, ridge = np.mean(off, axis=0)
    assert ours < 0.6 * ridge


def test_many_runs_give_the_shares() -> None:
    toy = Toy(1, 400, "one station holds the line")
    found = toy.found()
    assert found.shares.mean(axis=0) == pytest.approx(toy.shares, abs=0.03)
    assert found.rest.mean() == pytest.approx(REST / (1 + REST), abs=0.05)


def test_too_few_runs_say_so_and_how_many_would_tell() -> None:
    few = Toy(2, 3, "one station holds the line").found()
    assert few.runs_to_tell is None or 24 <= few.runs_to_tell <= 2000
    most = np.array([-3.0, -0.1, -0.1])
    z = np.random.default_rng(1).standard_normal((6, 3))
    sure = main_effects(np.repeat(-z[:, 0], 2), z, most, [0, 0, 0], [0, 1, 2], seed=1)
    assert sure.runs_to_tell == 0
    assert sure.shares[:, 0].mean() > 0.9


def test_two_alike_are_told_apart_by_no_number_of_runs() -> None:
    half = np.random.default_rng(3).standard_normal((200, 2))
    z = np.concatenate([half, half[:, ::-1]])
    luck = np.tile(np.random.default_rng(4).standard_normal((200, 2)), (2, 1))
    shifts = (z.sum(axis=1)[:, None] + luck).ravel().tolist()
    found = main_effects(shifts, z, np.array([2.0, 2.0]), [0, 0], [0, 1], seed=1)
    assert found.runs_to_tell is None
    assert found.shares.mean(axis=0) == pytest.approx([0.5, 0.5], abs=0.03)


def test_figures_of_a_group_that_go_together_are_one_share() -> None:
    bits = np.random.default_rng(5)
    mean, other = bits.standard_normal((2, 200))
    spread = 0.8 * mean + 0.6 * bits.standard_normal(200)
    z = np.stack([mean, spread, other], axis=1)
    shifts = np.repeat(mean + spread + other, 2).tolist()
    together = np.array([[1, 0.8, 0], [0.8, 1, 0], [0, 0, 1]])
    found = main_effects(shifts, z, np.full(3, 2.0), [0, 0, 1], [0, 0, 1], together, seed=1)
    # Variance of the sum of two with correlation 0.8: 1 + 1 + 1.6.
    assert found.shares.mean(axis=0) == pytest.approx([3.6 / 4.6, 1 / 4.6], abs=0.02)


def test_the_same_seed_gives_the_same_draws() -> None:
    first, second = (Toy(1, 6, "one station holds the line").found() for _ in range(2))
    assert np.array_equal(first.shares, second.shares)


def test_shapes_that_do_not_go_together_are_refused() -> None:
    with pytest.raises(ValueError, match="3 squares"):
        main_effects([1.0] * 6, np.zeros((2, 1)), np.ones(1), [0], [0], seed=1)
