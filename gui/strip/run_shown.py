"""What a strip needs of a run, worked out once: stops, lanes, curves."""

from __future__ import annotations

import linesim
from gui.strip.curves import RunCurves
from gui.strip.lanes import Filter, Lane, lanes_of
from linesim import Record, StopEvent


class RunShown:
    """A run with history as the strip shows it."""

    def __init__(self, record: Record) -> None:
        self.record = record
        self.curves = RunCurves(record)
        self.events: tuple[StopEvent, ...] = ()
        self.lanes: list[Lane] = []
        self._lanes_for: tuple[bool, Filter] | None = None

    def work_out(self, with_parts: bool, only: Filter) -> None:
        """Find the stops, and the lanes with the colours of what passes the filter."""
        if self._lanes_for is None:
            self.events = linesim.stop_events(self.record)
        if self._lanes_for is None or self._lanes_for[0] != with_parts:
            self.lanes = lanes_of(self.record, with_parts)
        elif self._lanes_for[1] == only:
            return
        for lane in self.lanes:
            lane.colour(self.record, only)
        self._lanes_for = with_parts, only


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
