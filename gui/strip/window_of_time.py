"""The stretch of the run that is on screen: zooming, panning, and marks of a time axis."""

from __future__ import annotations

from dataclasses import dataclass

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

    @classmethod
    def whole(cls, first_ns: int, last_ns: int) -> TimeWindow:
        """All of a run."""
        return cls(first_ns, last_ns, first_ns, last_ns)

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
        return TimeWindow(self.first_ns, self.last_ns, start, start + length_ns)

    def marks(self, most: int) -> list[tuple[int, str]]:
        """Round moments on screen with their labels, ``most`` of them at most."""
        step = next((s for s in _STEPS if self.length_ns <= s * most), _STEPS[-1])
        while self.length_ns > step * max(most, 1):
            step *= 2
        first = -(-self.start_ns // step) * step
        return [(t, _label(t, step)) for t in range(first, self.end_ns + 1, step)]


def _label(t_ns: int, step_ns: int) -> str:
    if step_ns >= _DAY:
        return f"day {t_ns // _DAY + 1}"
    hours, rest = divmod(t_ns, _H)
    if hours >= 48:
        day, hours = divmod(hours, 24)
        return f"day {day + 1}, {_clock(hours, rest, step_ns)}"
    return _clock(hours, rest, step_ns)


def _clock(hours: int, rest: int, step_ns: int) -> str:
    text = f"{hours}:{rest // _MIN:02}"
    if step_ns < _MIN:
        text += f":{rest // _S % 60:02}"
    if step_ns < _S:
        text += f".{rest // (_S // 10) % 10}"
    return text
