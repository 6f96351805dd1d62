"""Which figures are shown: those of many runs where they are in, else of the run on screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.report import as_one_run

if TYPE_CHECKING:
    from gui.shift import ShownShift
    from linesim import Record
    from linesim.studies import Replicated


class FiguresShown:
    """Keeps the figures of the single runs, so that they are worked out once.

    The figures of many runs are of the line as it is; where the user has put a stop into the run
    on screen they say nothing about that run, and its own figures are shown.
    """

    def __init__(self, shown: ShownShift) -> None:
        self._shown = shown
        self._single: dict[int, tuple[Record, Replicated]] = {}

    def now(self) -> Replicated | None:
        """The line on screen; None where no run is shown."""
        record = self._shown.record
        if record is None:
            return None
        many = self._many()
        if many is not None:
            return many
        return self._of_one("run")

    def before(self) -> Replicated | None:
        """What it is compared with: as many runs as :meth:`now` has, or the one before."""
        if self._shown.record is None or self._shown.ghost is None:
            return None
        if self._many() is None:
            return self._of_one("ghost")
        return self._shown.ghost_figures

    def prepare(self, record: Record) -> None:
        """Work out the figures of a run that is about to be shown; in any thread."""
        self._single[id(record)] = record, as_one_run(record)

    def forget(self) -> None:
        """Another run is shown: those that are not are forgotten."""
        kept = self._shown.record, self._shown.ghost
        self._single = {
            key: (record, single)
            for key, (record, single) in list(self._single.items())
            if any(record is each for each in kept)
        }

    def _many(self) -> Replicated | None:
        record, figures = self._shown.record, self._shown.figures
        if record is None or figures is None or self._shown.forced:
            return None
        return figures if figures.scenario == record.scenario else None

    def _of_one(self, which: str) -> Replicated:
        record = self._shown.record if which == "run" else self._shown.ghost
        assert record is not None
        if id(record) not in self._single:
            self.prepare(record)
        return self._single[id(record)][1]
