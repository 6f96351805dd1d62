"""The run on screen, as a model without widgets: views listen to it and set it.

>>> shown = ShownShift()
>>> moments = []
>>> _ = shown.cursor_moved.connect(moments.append)
>>> shown.cursor_ns = 5
>>> moments
[5]
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from psygnal import Signal

import linesim
from gui.shift.weak_connection import WeakSlot

if TYPE_CHECKING:
    from collections.abc import Callable

    from linesim import ForcedStop, Record
    from linesim.record import Disturbance, StopEvent
    from linesim.studies import Replicated

    Prepare = Callable[[Record, Record | None], None]


class ShownShift:
    """One run with its history, what it is compared with, and what the user points at.

    ``ghost`` is the run before the last change, on the same draws. ``figures`` are the means over
    many runs; they come after the run itself and are None until then.
    """

    record_changed = Signal()
    """The run or its ghost is another one."""
    figures_changed = Signal()
    """Figures with intervals came in, or went."""
    cursor_moved = Signal(int)
    stop_selected = Signal(object)
    busy_changed = Signal(bool)
    """A run is being made: what is on screen is about to be replaced."""

    def __init__(self) -> None:
        self._record: Record | None = None
        self._ghost: Record | None = None
        self._figures: Replicated | None = None
        self._ghost_figures: Replicated | None = None
        self._figures_failed = False
        self._forced: tuple[ForcedStop, ...] = ()
        self._disturbance: Disturbance | None = None
        self._cursor_ns = 0
        self._selected: StopEvent | None = None
        self._busy = False
        self._prepare: list[WeakSlot] = []

    def add_preparation(self, prepare: Prepare) -> None:
        """What a view has to work out of a run and its ghost; it may be asked to in any thread.

        A method of the view; the view itself is not held on to.
        """
        self._prepare.append(WeakSlot(prepare))

    def prepare(self, record: Record, ghost: Record | None = None) -> None:
        """Have the views work out what they need of a run that is about to be shown.

        A run is shown without it, too; the window then stands while they do.
        """
        for listener in list(self._prepare):
            prepare = listener.method()
            if prepare is None:
                self._prepare.remove(listener)
            else:
                prepare(record, ghost)

    @property
    def record(self) -> Record | None:
        """The run, with history; times in it are ns from its start."""
        return self._record

    @property
    def ghost(self) -> Record | None:
        """The run before the last change, on the same draws; None where there is none."""
        return self._ghost

    @property
    def ghost_title(self) -> str:
        """Which run that is."""
        return linesim.report.WITHOUT_THE_STOP if self._forced else "before the change"

    @property
    def forced(self) -> tuple[ForcedStop, ...]:
        """Stops the user put into the run."""
        return self._forced

    @property
    def disturbance(self) -> Disturbance | None:
        """What the forced stop did, where the ghost is the same line without it."""
        return self._disturbance

    def is_put_in(self, event: StopEvent) -> bool:
        """Whether this stop of the run is the one that the user put into it."""
        record, found = self._record, self._disturbance
        if record is None or found is None or found.began_ns is None:
            return False
        named = record.causes[event.cause] == found.cause
        return named and event.start_ns <= found.began_ns < event.end_ns

    def show(
        self,
        record: Record,
        *,
        ghost: Record | None = None,
        forced: tuple[ForcedStop, ...] = (),
        disturbance: Disturbance | None = None,
    ) -> None:
        """Put a run on screen. The cursor stays where it was, as far as the run reaches."""
        if self._selected is not None:
            # While what shows it still shows the run that it is a stop of.
            self.selected = None
        self._record, self._ghost = record, ghost
        self._forced, self._disturbance = forced, disturbance
        self.record_changed.emit()
        self.cursor_ns = min(max(self._cursor_ns, record.start_ns), record.end_ns)

    def clear(self) -> None:
        """Take the run off the screen: there is none of what is being edited."""
        self.selected = None
        self._record = self._ghost = self._disturbance = None
        self._forced = ()
        self.record_changed.emit()
        self.show_figures(None)

    @property
    def figures(self) -> Replicated | None:
        """Means over many runs of the line on screen, with intervals."""
        return self._figures

    @property
    def ghost_figures(self) -> Replicated | None:
        """The same for the line before the last change, with the same random numbers run by run."""
        return self._ghost_figures

    @property
    def figures_failed(self) -> bool:
        """Whether there are no figures because they could not be made."""
        return self._figures_failed

    def show_figures(
        self, figures: Replicated | None, ghost: Replicated | None = None, *, failed: bool = False
    ) -> None:
        """Put figures on screen, or take them away with None; ``failed`` where none will come."""
        self._figures, self._ghost_figures, self._figures_failed = figures, ghost, failed
        self.figures_changed.emit()

    @property
    def cursor_ns(self) -> int:
        """The moment looked at, ns from the start of the run."""
        return self._cursor_ns

    @cursor_ns.setter
    def cursor_ns(self, moment_ns: int) -> None:
        if self._record is not None:
            moment_ns = min(max(moment_ns, self._record.start_ns), self._record.end_ns)
        if moment_ns != self._cursor_ns:
            self._cursor_ns = moment_ns
            self.cursor_moved.emit(moment_ns)

    @property
    def selected(self) -> StopEvent | None:
        """The stop whose ripple is shown."""
        return self._selected

    @selected.setter
    def selected(self, event: StopEvent | None) -> None:
        self._selected = event
        self.stop_selected.emit(event)

    @property
    def busy(self) -> bool:
        """Whether a run is being made."""
        return self._busy

    @busy.setter
    def busy(self, busy: bool) -> None:
        if busy != self._busy:
            self._busy = busy
            self.busy_changed.emit(busy)
