"""Which figures are shown: those of many runs where they are in, else of the run on screen."""

from __future__ import annotations

from typing import TYPE_CHECKING
from weakref import finalize

from linesim.report import as_one_run

if TYPE_CHECKING:
    from gui.shift import ShownShift
    from linesim import Record
    from linesim.studies import Replicated


_KNOWN: dict[int, Replicated] = {}
"""By the run they are of; with it they go."""


def of_run(record: Record) -> Replicated:
    """The figures of a single run, worked out once for all views; in any thread."""
    found = _KNOWN.get(id(record))
    if found is None:
        found = _KNOWN[id(record)] = as_one_run(record)
        finalize(record, _KNOWN.pop, id(record), None).atexit = False
    return found


class FiguresShown:
    """Many runs where they are in: they are of the line as it is.

    Where the user has put a stop into the run on screen they say nothing about that run, and its
    own figures are shown.
    """

    def __init__(self, shown: ShownShift) -> None:
        self._shown = shown

    def now(self) -> Replicated | None:
        """The line on screen; None where no run is shown."""
        record = self._shown.record
        if record is None:
            return None
        return self._many() or of_run(record)

    def before(self) -> Replicated | None:
        """What it is compared with: as many runs as :meth:`now` has, or the one before."""
        ghost = self._shown.ghost
        if self._shown.record is None or ghost is None:
            return None
        if self._many() is None:
            return of_run(ghost)
        return self._shown.ghost_figures

    def _many(self) -> Replicated | None:
        record, figures = self._shown.record, self._shown.figures
        if record is None or figures is None or self._shown.forced:
            return None
        return figures if figures.scenario == record.scenario else None
