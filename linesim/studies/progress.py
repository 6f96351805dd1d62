"""How far a study is, and how long it will still take."""

from __future__ import annotations

from dataclasses import dataclass

_SOON_S = 5.0


@dataclass(frozen=True)
class Progress:
    """Where a study stands, in runs: ``done`` of ``asked``, and of these ``from_file``.

    ``seconds_left`` is None until a run of it has ended. ``at_least``: what the runs say may ask
    for more; a number once said without it holds. ``under_way`` is the part, 0 to 1, of a run that
    this process is making.
    """

    done: int
    asked: int
    from_file: int
    seconds_left: float | None
    at_least: bool = False
    under_way: float = 0.0

    @property
    def part(self) -> float:
        """The part of the runs asked for that is over, 0 to 1."""
        return (self.done + self.under_way) / max(1, self.asked)

    @property
    def words(self) -> str:
        """For people.

        >>> Progress(3, 40, 0, 200.0).words
        '3 of 40 runs, about 3 min to go'
        >>> Progress(3, 40, 0, 200.0, at_least=True).words
        '3 of at least 40 runs, at least about 3 min to go'
        >>> Progress(1039, 1040, 0, 0.3, at_least=True).words
        '1,039 of at least 1,040 runs'
        """
        bound = "at least " if self.at_least else ""
        left = ""
        # That it takes at least no time at all tells nobody anything.
        if self.seconds_left is not None and not (self.at_least and self.seconds_left < _SOON_S):
            left = f", {bound}about {duration(self.seconds_left)} to go"
        return f"{self.done:,} of {bound}{self.asked:,} runs{left}"


def duration(seconds: float) -> str:
    """Seconds as people say them.

    >>> duration(12.3), duration(200), duration(7200)
    ('12 s', '3 min', '2.0 h')
    """
    if seconds < 90:
        return f"{seconds:.0f} s"
    return f"{seconds / 60:.0f} min" if seconds < 5400 else f"{seconds / 3600:.1f} h"
