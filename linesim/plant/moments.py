"""Reading what people write for a date, a time of day, a length of time, a number.

Every reader answers ``None`` for what it cannot read; it guesses nothing. What a whole column
must decide (day or month first?) is decided in :mod:`linesim.plant.date_order`.
"""

from __future__ import annotations

import datetime as dt
import math
import re
from typing import Literal

from linesim.plant.raw_table import Cell, written

DateOrder = Literal["dmy", "mdy", "ymd"]
DurationUnit = Literal["s", "min", "h"]
SECONDS: dict[DurationUnit, float] = {"s": 1.0, "min": 60.0, "h": 3600.0}

_DATE = re.compile(r"(\d{1,4})[./-](\d{1,2})[./-](\d{1,4})\.?")
_TIME = re.compile(
    r"(\d{1,2})[:.h](\d{2})(?:[:.m](\d{2})(?:[.,](\d{1,6}))?)?s?\s*([ap]\.?m\.?)?", re.I
)
_HOURS = re.compile(r"^(\d{1,2})\s*uhr$", re.I)
_BETWEEN = re.compile(r"\s*uhr\s*(?=\d)", re.I)
_OFFSET = re.compile(r"\s*(Z|[+-]\d{2}:?\d{2})$")
_CLOCK_LENGTH = re.compile(r"(\d{1,4}):(\d{2})(?::(\d{2})(?:[.,]\d+)?)?")
_PARTS = re.compile(
    r"(\d+(?:[.,]\d+)?)\s*(h|hrs?|hours?|std|stunden?|min|mins?|minutes?|minuten|m|s|sek|secs?|"
    r"seconds?|sekunden)\b\.?",
    re.I,
)
_THOUSANDS = re.compile(r"[+-]?\d{1,3}([.,]\d{3})+")
_LARGEST = 1e300
"""Beyond any count, and still a number with decimals."""
_YEARS = range(1900, 2200)
"""A year mistyped must not lead beyond the end of the calendar."""
_SERIAL_ZERO = dt.datetime(1899, 12, 30)
SERIALS = (20_000, 80_000)
"""Days since the zero of workbooks: October 1954 to January 2119."""


def number(cell: Cell) -> float | None:
    """A number with decimal point or comma, thousands apart or not; a unit behind it is no part.

    >>> number("1.234,5"), number("1,234.5"), number("12,5"), number("3"), number("about 3")
    (1234.5, 1234.5, 12.5, 3.0, None)
    >>> number("1.234.567"), number("02.03.26")
    (1234567.0, None)
    """
    if isinstance(cell, bool):
        return None
    if isinstance(cell, (int, float)):
        return float(cell) if abs(cell) < _LARGEST else None
    text = written(cell).replace("\u00a0", " ").replace("\u202f", " ").replace("−", "-")
    text = re.sub(r"(?<=\d)[ '](?=\d{3}\b)", "", text)
    if not re.fullmatch(r"[+-]?(\d[\d.,]*|[.,]\d+)", text):
        return None
    comma, point = text.rfind(","), text.rfind(".")
    if comma >= 0 and point >= 0:
        decimal = "," if comma > point else "."
        other = "." if decimal == "," else ","
        text = text.replace(other, "").replace(decimal, ".")
    elif text.count(",") > 1 or text.count(".") > 1:
        if not _THOUSANDS.fullmatch(text):
            # A date with a year of two digits: 02.03.26.
            return None
        text = text.replace(",", "").replace(".", "")
    else:
        text = text.replace(",", ".")
    try:
        value = float(text)
    except ValueError:
        return None
    return value if math.isfinite(value) else None


def date_parts(cell: Cell) -> tuple[str, str, str] | None:
    """The three numbers of a date in text, in the order written."""
    match = _DATE.match(_without_weekday(cell)) if isinstance(cell, str) else None
    return None if match is None else (match[1], match[2], match[3])


def moment(cell: Cell, order: DateOrder = "dmy") -> dt.datetime | None:
    """A date with its time of day; midnight where none is given. Keeps an offset from UTC.

    >>> moment("03.11.2025 06:15"), moment("2025-11-03T06:15:30")
    (datetime.datetime(2025, 11, 3, 6, 15), datetime.datetime(2025, 11, 3, 6, 15, 30))
    """
    if isinstance(cell, dt.date):
        if cell.year not in _YEARS:
            return None
        return cell if isinstance(cell, dt.datetime) else dt.datetime.combine(cell, dt.time())
    value = number(cell)
    if value is not None and SERIALS[0] < value < SERIALS[1]:
        # A date that lost its format: days since the zero of workbooks.
        return _SERIAL_ZERO + dt.timedelta(seconds=round(value * 86400))
    text = _without_weekday(cell)
    match = _DATE.match(text)
    if match is None:
        return None
    day = _date(match, order)
    rest = text[match.end() :].lstrip(" T,;-")
    if day is None:
        return None
    if not rest:
        return dt.datetime.combine(day, dt.time())
    zone = _zone(rest)
    clock = time_of_day(_OFFSET.sub("", rest) if zone else rest)
    return None if clock is None else dt.datetime.combine(day, clock, tzinfo=zone)


def time_of_day(cell: Cell) -> dt.time | None:
    """A time of day: ``6:15``, ``06:15:30``, ``6.15``, ``6:15 pm``; 24:00 is no time of day.

    >>> time_of_day("7 Uhr 30"), time_of_day("7 Uhr"), time_of_day("6:15 Uhr")
    (datetime.time(7, 30), datetime.time(7, 0), datetime.time(6, 15))
    """
    if isinstance(cell, dt.datetime):
        return cell.time()
    if isinstance(cell, dt.time):
        return cell
    if isinstance(cell, dt.timedelta) and dt.timedelta() <= cell < dt.timedelta(days=1):
        return (dt.datetime.min + cell).time()
    if isinstance(cell, float) and 0 <= cell < 1:
        return (dt.datetime.min + dt.timedelta(seconds=round(cell * 86400))).time()
    text = _HOURS.sub(r"\1:00", written(cell))
    match = _TIME.fullmatch(re.sub(r"\s*(uhr|h)$", "", _BETWEEN.sub(":", text), flags=re.I))
    if match is None:
        return None
    hour, minute, second = int(match[1]), int(match[2]), int(match[3] or 0)
    if match[5]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if match[5][0] in "pP" else 0)
    micro = int((match[4] or "0").ljust(6, "0"))
    return dt.time(hour, minute, second, micro) if hour < 24 and minute < 60 > second else None


def length_s(cell: Cell, unit: DurationUnit) -> float | None:
    """A length of time in s; a bare number is in *unit*; ``1:05`` is hours and minutes.

    >>> length_s("1:05", "min"), length_s("4,5", "min"), length_s("1 h 5 min", "s")
    (3900.0, 270.0, 3900.0)
    """
    if isinstance(cell, dt.timedelta):
        return cell.total_seconds()
    if isinstance(cell, dt.time):
        return cell.hour * 3600.0 + cell.minute * 60 + cell.second
    value = number(cell)
    if value is not None:
        return value * SECONDS[unit]
    text = written(cell)
    match = _CLOCK_LENGTH.fullmatch(text)
    if match and int(match[2]) < 60 and int(match[3] or 0) < 60:
        return int(match[1]) * 3600.0 + int(match[2]) * 60 + int(match[3] or 0)
    parts = list(_PARTS.finditer(text))
    if parts and not _PARTS.sub("", text).strip(" ,+und"):
        return sum(float(p[1].replace(",", ".")) * SECONDS[_unit(p[2])] for p in parts)
    return None


def _without_weekday(cell: Cell) -> str:
    return re.sub(r"^[A-Za-zäöüé]{2,9}\.?,?\s+", "", written(cell))


def _unit(word: str) -> DurationUnit:
    first = word.lower()
    return "h" if first[0] == "h" or first.startswith("st") else "min" if first[0] == "m" else "s"


def _date(match: re.Match[str], order: DateOrder) -> dt.date | None:
    first, second, third = int(match[1]), int(match[2]), int(match[3])
    if len(match[1]) == 4 or (order == "ymd" and len(match[3]) < 3):
        year, month, day = first, second, third
    elif order == "mdy":
        month, day, year = first, second, third
    else:
        day, month, year = first, second, third
    if year < 100:
        year += 2000 if year < 70 else 1900
    try:
        return dt.date(year, month, day) if year in _YEARS else None
    except ValueError:
        return None


def _zone(text: str) -> dt.tzinfo | None:
    match = _OFFSET.search(text)
    try:
        return None if match is None else dt.datetime.strptime(match[1], "%z").tzinfo
    except ValueError:
        return None
