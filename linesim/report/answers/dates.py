"""Days and times for people, the same everywhere: not by the locale of the machine."""

from __future__ import annotations

import datetime as dt
import math

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_STEPS_H = (1, 2, 3, 6, 12, 24, 48, 168, 336)
_WITH_HOURS = 1.3
"""So many times as many days and hours as days alone have room beside each other."""


def day_words(at: dt.datetime) -> str:
    """A day.

    >>> day_words(dt.datetime(2026, 3, 3, 14, 30))
    'Tue 3 Mar'
    """
    return f"{_DAYS[at.weekday()]} {at.day} {_MONTHS[at.month - 1]}"


def date_words(at: dt.datetime) -> str:
    """A day and a time."""
    return f"{day_words(at)} {at:%H:%M}"


def between_words(start: dt.datetime, end: dt.datetime) -> str:
    """From when to when; the day once where it is one.

    >>> between_words(dt.datetime(2026, 3, 3, 14, 30), dt.datetime(2026, 3, 3, 16))
    'Tue 3 Mar 14:30 to 16:00'
    """
    same = start.date() == end.date()
    return f"{date_words(start)} to {f'{end:%H:%M}' if same else date_words(end)}"


def date_ticks(start: dt.datetime, low: float, high: float, most: int) -> list[tuple[float, str]]:
    """Midnights or round hours from ``low`` to ``high`` in words, where ``most`` days have room.

    Both are hours after ``start``, as are the places of the ticks. An hour takes less room than a
    day does, so that more stand there of both together.

    >>> date_ticks(dt.datetime(2026, 3, 2, 6), 0, 48, 4)
    [(6.0, '12:00'), (18.0, 'Tue 3 Mar'), (30.0, '12:00'), (42.0, 'Wed 4 Mar')]
    >>> date_ticks(dt.datetime(2026, 3, 2, 6), 0, 48, 3)
    [(18.0, 'Tue 3 Mar'), (42.0, 'Wed 4 Mar')]
    >>> date_ticks(dt.datetime(2026, 3, 2, 6), 0, 20, 4)
    [(0.0, '06:00'), (6.0, '12:00'), (12.0, '18:00'), (18.0, 'Tue 3 Mar')]
    """
    midnight = start.hour + start.minute / 60 + start.second / 3600
    rooms = ((each, most * (_WITH_HOURS if each < 24 else 1)) for each in _STEPS_H)
    step = next((each for each, room in rooms if (high - low) / each < room), math.inf)
    if step == math.inf:
        step = 24 * math.ceil((high - low) / 24 / max(most, 1))
    first, last = math.ceil((low + midnight) / step), math.floor((high + midnight) / step)
    places = [n * step - midnight for n in range(first, last + 1)]
    whens = [start + dt.timedelta(hours=place) for place in places]
    said = [f"{at:%H:%M}" if at.hour else day_words(at) for at in whens]
    return list(zip(places, said, strict=True))
