"""What would be right where a row of a log cannot be used: a word of help beside each reason."""

from __future__ import annotations

_MOMENT = "a date and a time up to 23:59"
_RIGHT = {
    "no start": f"{_MOMENT}, when it began",
    "start cannot be read": _MOMENT,
    "date cannot be read": "a day that the calendar has",
    "date in another order": "the order of the others",
    "end cannot be read": "a time up to 23:59",
    "length cannot be read": "a number, 5 min, or 0:05",
    "length below 0": "0 or more",
    "longer than": "less, or a longer one allowed",
    "neither end nor length": "one of them",
    "start, end and length": "a length that is the end less the start",
    "end before start": "an end after the start",
    "lasts no time": "an end after the start",
    "no cause": "why the line stood",
    "no counter reading": "what the counter showed when it began",
    "counter cannot be read": "a number, 0 or more",
    "the counter runs backwards": "a reading between those of its neighbours",
    "its date is more than": "the year and month of the others",
    "its counter is": "a reading like those of the others",
    "the same stop as": "each stop once",
    "within the stop of": "one stop at a time at a station",
    "began outside of the planned time": "a shift that was counted",
}


def would_be_right(reason: str) -> str:
    """What a row left out for this reason should say; empty where nothing is wrong with it."""
    return next((right for why, right in _RIGHT.items() if reason.startswith(why)), "")
