"""What a strip needs of a run, worked out once: stops, lanes, curves."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import linesim
from gui.strip.curves import RunCurves
from gui.strip.lanes import Filter, Lane, lanes_of
from linesim.record import Record, StopEvent

_LONG = 300_000
"""Spans of a run from which on colouring it takes longer than a window may stand."""


@dataclass(frozen=True)
class Look:
    """A way to look at a run: with the sheeter's parts or without, and which stops have colour."""

    with_parts: bool = False
    only: Filter = field(default_factory=Filter)


@dataclass(frozen=True)
class Seen:
    """What is seen that way: the lanes with their colours, and the stops that pass, in order."""

    look: Look
    lanes: list[Lane]
    passing: tuple[StopEvent, ...]


class RunShown:
    """A run with history as the strip shows it. Nothing of it is changed once it is worked out."""

    def __init__(self, record: Record) -> None:
        self.record = record
        self.curves = RunCurves(record)
        if record.history is not None:
            # The first time sorts the waits of the run; then any stop's ripple is found at once.
            record.history.spans.waits_for(0, 0)
        self.events: tuple[StopEvent, ...] = ()
        """All stops; worked out with the first look, as their causes are."""
        self.causes: tuple[str, ...] = ()
        self._seen: Seen | None = None

    @property
    def long(self) -> bool:
        """Whether another look takes long enough to be taken in a thread of its own."""
        assert self.record.history is not None
        return len(self.record.history.spans.start_ns) > _LONG

    def seen(self, look: Look) -> Seen:
        """The run looked at that way."""
        last = self._seen
        if last is not None and last.look == look:
            return last
        record, only = self.record, look.only
        if last is None:
            self.events = linesim.record.stop_events(record)
            numbers = {event.cause for event in self.events}
            self.causes = tuple(sorted({record.causes[number] for number in numbers}))
        if last is not None and last.look.with_parts == look.with_parts:
            # Layers are put into copies: the window may be drawing the lanes meanwhile.
            lanes = [replace(lane, layers=[]) for lane in last.lanes]
        else:
            lanes = lanes_of(record, look.with_parts)
        for lane in lanes:
            lane.colour(record, only)
        passing = self.events
        if only != Filter():
            passing = tuple(event for event in self.events if only.passes(record, event))
        self._seen = Seen(look, lanes, passing)
        return self._seen


class RunsShown:
    """The run on screen and its ghost, and those that are about to be."""

    def __init__(self) -> None:
        self._runs: dict[int, RunShown] = {}

    def of(self, record: Record) -> RunShown:
        """What is worked out of a run so far; at least its curves."""
        run = self._runs.get(id(record))
        if run is None or run.record is not record:
            run = self._runs[id(record)] = RunShown(record)
        return run

    def keep_only(self, *records: Record | None) -> None:
        """Forget all other runs."""
        wanted = [id(record) for record in records if record is not None]
        for key in set(self._runs).difference(wanted):
            del self._runs[key]
