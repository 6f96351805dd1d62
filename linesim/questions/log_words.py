"""What options say of the words of a plant's log: its dates, its causes, its machines."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from linesim.plant.date_order import ORDERS
from linesim.plant.log_settings import PlantTerms
from linesim.plant.machine_names import station_of
from linesim.questions.study_options import QuestionError
from linesim.scenario import STATIONS, Scenario


def pairs(option: str, texts: Iterable[str]) -> dict[str, str]:
    """What stands before and after the = of each text. Raises :class:`QuestionError`."""
    found = {}
    for text in texts:
        name, equals, value = (part.strip() for part in text.partition("="))
        if not (name and equals and value):
            raise QuestionError(option, f"{text!r} is not two names with = between")
        found[name] = value
    return found


def log_words(
    dates: str | None, causes: Iterable[str], stations: Iterable[str], scenario: Scenario | None
) -> PlantTerms:
    """What the options ``dates``, ``causes`` and ``stations`` say of a log.

    Raises :class:`QuestionError` for an order of dates or a station that there is not.
    """
    if dates and dates not in ORDERS:
        raise QuestionError("dates", f"{dates!r} is none of {', '.join(ORDERS)}")
    meant = pairs("stations", stations)
    for station in meant.values():
        if station_of(station, scenario) is None:
            names = [wrapper.name for wrapper in scenario.wrapper] if scenario else []
            known = ", ".join(dict.fromkeys([*STATIONS, *names]))
            raise QuestionError("stations", f"there is no station {station!r}; one of {known}")
    return PlantTerms(ORDERS[dates] if dates else None, pairs("causes", causes), meant)


def read_date(option: str, text: str | None) -> dt.datetime | None:
    """The date an option names, None where it names none. Raises :class:`QuestionError`."""
    try:
        return None if not text else dt.datetime.fromisoformat(text)
    except ValueError:
        raise QuestionError(
            option, f"{text!r} is no date; right would be year-month-day, such as 2026-03-16"
        ) from None
