"""One buffer or two of any sizes: a coarse grid, refined round the best; a sum split in two."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from linesim.scenario import Scenario
from linesim.scenario.buffers import Buffer, buffers_of
from linesim.statistics import Interval
from linesim.studies.best_size import BestSize, Places, Rows, Sized, SizeRule, Sizing
from linesim.studies.changes import with_buffers
from linesim.studies.differences import Difference, between, reams
from linesim.studies.runner import Runner, StoppedError
from linesim.studies.worth import purchase_of

SPLITS = 7
"""A sum is first split in so many ways, evenly from all in the one to all in the other."""


class SplitError(ValueError):
    """A sum that cannot be split; says why, and what would be right."""


@dataclass(frozen=True)
class SumToSplit:
    """Places of both buffers together, those that stand among them; or money for further ones."""

    total_places: int | None = None
    budget: float | None = None


@dataclass(frozen=True)
class Split:
    """Ways to split a sum between two buffers, the first getting more and more of it."""

    of: SumToSplit
    ways: tuple[Sized, ...]
    best: Sized
    """What makes most: the sum is spent either way."""
    short: tuple[Difference | None, ...]
    """Reams a week that each way falls short of the best, same draws; None for the best."""

    @property
    def alike(self) -> tuple[Sized, ...]:
        """The ways not told from the best, itself among them."""
        pairs = zip(self.ways, self.short, strict=True)
        return tuple(way for way, short in pairs if short is None or not short.shown)


@dataclass(frozen=True)
class Together:
    """Two buffers made longer, both and each alone. Reams a week."""

    both: Sized
    alone: tuple[Sized, Sized]
    more: Interval
    """What both bring more than the sum of what each brings alone."""

    @property
    def adds_up(self) -> bool:
        """Whether nothing else can be shown."""
        return self.more.contains(0)


@dataclass(frozen=True)
class Confirmed:
    """What sizes bring on fresh draws, reams a week, by so many runs of both sides together."""

    gain: Difference
    runs: int


@dataclass(frozen=True)
class SizedBuffers:
    """The sizes of one buffer, or of two in all combinations."""

    sizes: BestSize
    coarse: int
    """So many of them were run first; the others round the best of those, or for a split."""
    axes: tuple[tuple[int, ...], ...]
    """Of each buffer the sizes on the map: those of the coarse grid, and those round the best."""
    split: Split | None
    together: Together | None
    confirmed: Confirmed | None
    """The sizes that are recommended against the line as it is, on draws that none was chosen by.
    None where they are that, or it was not asked, or cut short."""

    @property
    def recommended(self) -> Sized:
        """The best split, where one was asked for, else the best sizes."""
        return self.sizes.best if self.split is None else self.split.best


def size_buffers(
    scenario: Scenario,
    runner: Runner,
    grid: Mapping[str, Sequence[int]],
    rule: SizeRule | None = None,
    *,
    refine: bool = True,
    split: SumToSplit | None = None,
    confirm: bool = False,
) -> SizedBuffers:
    """Run all combinations of these places, the present ones among them, with the same draws.

    ``grid`` are sizes by the names of one or two buffers. With ``refine`` sizes half way from the
    best to its neighbours are run, too. The best of many is flattered by the runs it was chosen by:
    with ``confirm`` it meets the line as it is once more, on fresh draws. Raises
    :class:`SplitError`.
    """
    search = _Search(scenario, runner, grid, rule or SizeRule())
    if split is not None:
        search.check(split)
    search.run(search.grid_points())
    coarse = len(search.lines)
    if refine:
        best = search.sizing().best()
        search.run(_round(best, search.grid))
    axes = tuple(tuple(sorted(set(sizes))) for sizes in zip(*search.lines, strict=True))
    ways: list[Places] = []
    if split is not None:
        ways = search.run_splits(split)
    both = search.run_both_and_alone(ways)
    sizing = search.sizing()
    found = sizing.judged()
    result = SizedBuffers(
        sizes=found,
        coarse=coarse,
        axes=axes,
        split=_split(split, ways, sizing, found, runner.settings.level) if ways and split else None,
        together=_together(both, sizing, found) if both is not None else None,
        confirmed=None,
    )
    if not confirm:
        return result
    return replace(result, confirmed=search.confirmed(result.recommended.places))


class _Search:
    """The lines run so far. Each asks for the runs of all, which are made once."""

    def __init__(
        self, scenario: Scenario, runner: Runner, grid: Mapping[str, Sequence[int]], rule: SizeRule
    ) -> None:
        self._scenario, self._runner, self._rule = scenario, runner, rule
        every = buffers_of(scenario)
        self.buffers: tuple[Buffer, ...] = tuple(every[name] for name in grid)
        self.present: Places = tuple(buffer.places for buffer in self.buffers)
        self.grid = [
            tuple(sorted({buffer.places, *sizes}))
            for buffer, sizes in zip(self.buffers, grid.values(), strict=True)
        ]
        self.lines: dict[Places, Rows] = {}

    def grid_points(self) -> Iterable[Places]:
        """All combinations."""
        return product(*self.grid)

    def run(self, sizes: Iterable[Places]) -> bool:
        """Whether all of these are there. Cut short, what was complete before stays as it was."""
        wanted = sorted({*self.lines, *sizes})
        if len(wanted) == len(self.lines):
            return True
        if self.lines and self._runner.interrupted:
            return False
        names = [buffer.name for buffer in self.buffers]
        variants = {
            str(each): with_buffers(self._scenario, dict(zip(names, each, strict=True)))
            for each in wanted
        }
        try:
            rows = self._runner.outcomes(variants)
        except StoppedError:
            if not self.lines:
                raise
            return False
        if self.lines and self._runner.interrupted:
            return False
        self.lines = {each: rows[str(each)] for each in wanted}
        return True

    def confirmed(self, places: Places) -> Confirmed | None:
        """These sizes against the line as it is, on draws that no size has met."""
        runner = self._runner
        if places == self.present or runner.interrupted:
            return None
        names = [buffer.name for buffer in self.buffers]
        sized = with_buffers(self._scenario, dict(zip(names, places, strict=True)))
        pair = {"sized": sized, "present": self._scenario}
        try:
            rows = runner.outcomes(pair, first=len(self.lines[self.present]), last=True)
        except StoppedError:
            return None
        gain = between(rows["sized"], rows["present"], reams, runner.settings.level)
        return Confirmed(gain, sum(map(len, rows.values())))

    def sizing(self) -> Sizing:
        """What can be said of them."""
        names = [buffer.name for buffer in self.buffers]
        return Sizing(self._scenario, self._runner, names, self.lines, self._rule)

    def check(self, split: SumToSplit) -> None:
        """That the sum can be split between these buffers. Raises :class:`SplitError`."""
        if len(self.buffers) != 2:
            raise SplitError("a sum is split between two buffers: name a second one")
        least = sum(buffer.least for buffer in self.buffers)
        most = sum(buffer.most for buffer in self.buffers)
        total = split.total_places
        if total is not None and not least <= total <= most:
            raise SplitError(
                f"{total:,} places in all cannot be split: {least:,} to {most:,} can,"
                " by the set of reams and by longest_m"
            )
        if split.budget is not None:
            for buffer in self.buffers:
                if self._cost(buffer, 1) is None:
                    raise SplitError(
                        f"money is split where places have prices: {buffer.place_cost} in [money]"
                    )
            if not any(self._bought(buffer, split.budget) for buffer in self.buffers):
                raise SplitError(f"{split.budget:,.10g} buys no place of either buffer")

    def _cost(self, buffer: Buffer, more: int) -> float | None:
        spent = purchase_of(self._scenario, self._rule.years, **{buffer.name: more})
        return None if spent is None else spent.capital

    def _bought(self, buffer: Buffer, money: float) -> int:
        """Places that so much money buys, as far as there is room."""
        one, two = self._cost(buffer, 1) or 0.0, self._cost(buffer, 2) or 0.0
        # What is paid at all is in both.
        more = int((money - one) / (two - one) + 1 + 1e-9) if money >= one else 0
        return min(more, buffer.most - buffer.places)

    def _other(self, split: SumToSplit, first: int) -> int:
        """The size of the second buffer, where the first has so many places."""
        one, two = self.buffers
        if split.total_places is not None:
            return split.total_places - first
        assert split.budget is not None
        spent = self._cost(one, first - one.places) or 0.0
        return two.places + self._bought(two, split.budget - spent)

    def run_splits(self, split: SumToSplit) -> list[Places]:
        """Run evenly spaced ways to split the sum, then two beside the best; those that were."""
        one, two = self.buffers
        if split.total_places is not None:
            low = max(one.least, split.total_places - two.most)
            high = min(one.most, split.total_places - two.least)
        else:
            low, high = one.places, one.places + self._bought(one, split.budget or 0.0)
        firsts = sorted({round(low + (high - low) * n / (SPLITS - 1)) for n in range(SPLITS)})
        ways: list[Places] = [(first, self._other(split, first)) for first in firsts]
        if not self.run(ways):
            return []
        best = max(ways, key=self._made)
        beside: set[Places] = {
            (n, self._other(split, n)) for (n, *_) in _round(best[:1], [tuple(firsts)])
        }
        return sorted({*ways, *beside}) if self.run(beside) else ways

    def _made(self, places: Places) -> float:
        return sum(run.good_reams for run in self.lines[places])

    def run_both_and_alone(self, ways: Sequence[Places]) -> Places | None:
        """Run each buffer's part alone: of the best split, else of the best sizes, else of the
        largest. None where no sizes change both, or it was cut short."""
        if len(self.buffers) != 2:
            return None
        largest = tuple(sizes[-1] for sizes in self.grid)
        chosen = [max(ways, key=self._made)] if ways else []
        for both in (*chosen, self.sizing().best(), largest):
            if all(n > now for n, now in zip(both, self.present, strict=True)):
                return both if self.run(_alone(both, self.present)) else None
        return None


def _alone(both: Places, present: Places) -> tuple[Places, Places]:
    return (both[0], present[1]), (present[0], both[1])


def _round(best: Places, grid: Sequence[Sequence[int]]) -> list[Places]:
    """Half way from the best to its neighbours in the grid, in every combination."""
    near = []
    for at, sizes in zip(best, grid, strict=True):
        n = sizes.index(at)
        halves = [(at + sizes[m]) // 2 for m in (n - 1, n + 1) if 0 <= m < len(sizes)]
        near.append(sorted({at, *halves}))
    return list(product(*near))


def _split(
    of: SumToSplit, ways: Sequence[Places], sizing: Sizing, found: BestSize, level: float
) -> Split:
    sized = {each.places: each for each in found.sizes}
    lines = sizing.lines
    best = max(ways, key=lambda way: sum(reams(run) for run in lines[way]))
    return Split(
        of,
        tuple(sized[way] for way in ways),
        sized[best],
        tuple(
            None if way == best else between(lines[best], lines[way], reams, level) for way in ways
        ),
    )


def _together(both: Places, sizing: Sizing, found: BestSize) -> Together:
    sized = {each.places: each for each in found.sizes}
    first, second = _alone(both, sizing.present)
    more = sizing.more_together(both, (first, second))
    return Together(sized[both], (sized[first], sized[second]), more)
