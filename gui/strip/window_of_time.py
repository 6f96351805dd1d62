"""The stretch of the run that is on screen: zooming, panning, and marks of a time axis."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from linesim.report import day_words

_S = 1_000_000_000
_MIN, _H, _DAY = 60 * _S, 3600 * _S, 86_400 * _S
SHORTEST_NS = _S
_STEPS = [
    *(n * _S // 10 for n in (1, 2, 5)),
    *(n * _S for n in (1, 2, 5, 10, 15, 30)),
    *(n * _MIN for n in (1, 2, 5, 10, 15, 30)),
    *(n * _H for n in (1, 2, 4, 6, 12)),
    *(n * _DAY for n in (1, 2, 3, 7, 14, 28, 91)),
]


@dataclass(frozen=True)
class TimeWindow:
    """From ``start_ns`` to ``end_ns`` of a run that goes from ``first_ns`` to ``last_ns``."""

    first_ns: int
    last_ns: int
    start_ns: int
    end_ns: int
    starts: dt.datetime | None = None
    """When the run starts by the calendar, where that is said: marks are times of day then."""

    @classmethod
    def whole(cls, first_ns: int, last_ns: int, starts: dt.datetime | None = None) -> TimeWindow:
        """All of a run."""
        return cls(first_ns, last_ns, first_ns, last_ns, starts)

    @property
    def of_all(self) -> TimeWindow:
        """The whole run that this is a stretch of."""
        return self.whole(self.first_ns, self.last_ns, self.starts)

    @property
    def title(self) -> str:
        """What its marks count; the day with which it begins."""
        if self.starts is None:
            return "time, h:min"
        return day_words(self.starts + dt.timedelta(microseconds=self.start_ns // 1000))

    @property
    def over_midnight(self) -> bool:
        """Whether a day begins within it."""
        begun = self._clock_ns(self.start_ns) // _DAY
        return self.starts is not None and begun != self._clock_ns(self.end_ns) // _DAY

    def _clock_ns(self, t_ns: int) -> int:
        """A moment from the midnight before the run, or from its start where that has no date."""
        if self.starts is None:
            return t_ns
        midnight = self.starts.replace(hour=0, minute=0, second=0, microsecond=0)
        return t_ns + (self.starts - midnight) // dt.timedelta(microseconds=1) * 1000

    @property
    def length_ns(self) -> int:
        """Length on screen, ns."""
        return self.end_ns - self.start_ns

    def to_ns(self, part: float) -> int:
        """The moment at a part of the width, 0 to 1."""
        return self.start_ns + round(part * self.length_ns)

    def to_part(self, t_ns: int) -> float:
        """Where a moment lies, 0 at the left edge and 1 at the right."""
        return (t_ns - self.start_ns) / self.length_ns

    def zoomed(self, factor: float, about_ns: int) -> TimeWindow:
        """``factor`` above 1 shows less; ``about_ns`` stays where it is."""
        length = round(self.length_ns / factor)
        length = min(max(length, SHORTEST_NS), self.last_ns - self.first_ns)
        start = about_ns - round(self.to_part(about_ns) * length)
        return self._within(start, length)

    def showing(self, length_ns: int, about_ns: int) -> TimeWindow:
        """A stretch of a given length with a moment in its middle."""
        length = min(max(length_ns, SHORTEST_NS), self.last_ns - self.first_ns)
        return self._within(about_ns - length // 2, length)

    def moved(self, by_ns: int) -> TimeWindow:
        """As far on (or back, below 0) as the run goes."""
        return self._within(self.start_ns + by_ns, self.length_ns)

    def holding(self, t_ns: int) -> TimeWindow:
        """Moved no further than needed to have a moment on screen."""
        if self.start_ns <= t_ns <= self.end_ns:
            return self
        return self.showing(self.length_ns, t_ns)

    def _within(self, start_ns: int, length_ns: int) -> TimeWindow:
        start = min(max(start_ns, self.first_ns), max(self.first_ns, self.last_ns - length_ns))
        return replace(self, start_ns=start, end_ns=start + length_ns)

    def marks(self, most: int) -> list[tuple[int, str]]:
        """Round moments on screen with their labels, ``most`` of them at most."""
        step = next((s for s in _STEPS if self.length_ns <= s * most), _STEPS[-1])
        while self.length_ns > step * max(most, 1):
            step *= 2
        shift = self._clock_ns(0)
        first = -(-(self.start_ns + shift) // step) * step - shift
        return [(t, self._label(t, step)) for t in range(first, self.end_ns + 1, step)]

    def _label(self, t_ns: int, step_ns: int) -> str:
        if self.starts is None:
            return _label(t_ns, step_ns)
        since = self._clock_ns(t_ns) % _DAY
        if not since:
            return day_words(self.starts + dt.timedelta(microseconds=t_ns // 1000))
        hours, rest = divmod(since, _H)
        return _clock(f"{hours:02}", rest, step_ns)


def _label(t_ns: int, step_ns: int) -> str:
    if step_ns >= _DAY:
        return f"day {t_ns // _DAY + 1}"
    hours, rest = divmod(t_ns, _H)
    if hours >= 48:
        day, hours = divmod(hours, 24)
        return f"day {day + 1}, {_clock(hours, rest, step_ns)}"
    return _clock(hours, rest, step_ns)


def _clock(hours: int | str, rest: int, step_ns: int) -> str:
    text = f"{hours}:{rest // _MIN:02}"
    if step_ns < _MIN:
        text += f":{rest // _S % 60:02}"
    if step_ns < _S:
        text += f".{rest // (_S // 10) % 10}"
    return text
