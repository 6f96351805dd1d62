"""What a plant calls a stop, matched to the causes and stations of a scenario."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher

from linesim.plant.log_columns import plain
from linesim.plant.stop_log import CleanStop
from linesim.plant.stops_compared import LoggedStop
from linesim.scenario import Scenario
from linesim.scenario.known_causes import KNOWN_CAUSES
from linesim.scenario.stops import STATIONS

BUILT_IN = {
    "splice": ("splice", "unwind", "[unwind]"),
    "reel change": ("reel change", "unwind", "[unwind]"),
    "web break": ("web break", "web_path", "[web_path]"),
    "paper break": ("web break", "web_path", "[web_path]"),
    "wrapping roll": ("wrapping roll", "wrapper", "[[wrapper]]"),
    "roll change": ("wrapping roll", "wrapper", "[[wrapper]]"),
}
"""Stops that a line makes by itself as reels run out and webs break: what runs call them, station,
and where they are set. As stop causes besides, they would be there twice."""

_ALIKE = 0.84
_DIGITS = re.compile(r"\d+")
_WEB = re.compile(r"\b(web|bahn) \d+\b")


@dataclass(frozen=True)
class MatchedCause:
    """A cause, all stops that are of it, and how its name was found.

    ``station`` is None where the log names none that the scenario has. ``place`` is the position
    of its entry in the scenario, None for a cause that is new to it.
    """

    cause: str
    station: str | None
    place: int | None
    stops: tuple[CleanStop, ...]
    written: tuple[str, ...]
    """As the plant wrote it, most frequent first."""

    @property
    def set_in(self) -> str | None:
        """The table that brings such stops of itself; None for a stop cause."""
        return BUILT_IN[self.cause][2] if self.place is None and self.cause in BUILT_IN else None

    @property
    def new(self) -> bool:
        """Whether the scenario has no such cause."""
        return self.place is None and self.set_in is None


def match_causes(
    stops: Iterable[CleanStop],
    scenario: Scenario | None = None,
    told: Mapping[str, str] | None = None,
) -> tuple[MatchedCause, ...]:
    """Gather stops by cause, in order of the scenario, then new causes by count.

    A cause is the scenario's where the name is the same but for case, accents, signs and the web,
    or nearly so at the same station. *told* maps what the log says to the name meant, and goes
    before. New spellings that are nearly alike at one station are one cause, named as most often.
    """
    by_hand = {plain(log): name for log, name in (told or {}).items()}
    stops = tuple(stops)
    counts = Counter((stop.cause, stop.station) for stop in stops)
    named_so = Counter(plain(stop.cause) for stop in stops)
    gathered: dict[tuple[str, str | None, int | None], list[tuple[str, str]]] = {}
    for (cause, where), _ in sorted(
        counts.items(), key=lambda item: (-named_so[plain(item[0][0])], -item[1], item[0])
    ):
        named = by_hand.get(plain(cause), cause)
        station = station_of(where, scenario)
        key = (
            _known(named, station, scenario) or _built_in(named) or _alike(named, station, gathered)
        )
        gathered.setdefault(key or (named, station, None), []).append((cause, where))
    return tuple(
        MatchedCause(
            name,
            station,
            place,
            tuple(stop for stop in stops if (stop.cause, stop.station) in spellings),
            tuple(dict.fromkeys(cause for cause, _ in spellings)),
        )
        for (name, station, place), spellings in sorted(
            gathered.items(),
            key=lambda item: (
                item[0][2] is None,
                item[0][2] or 0,
                -sum(counts[spelling] for spelling in item[1]),
                item[0][0],
            ),
        )
    )


def logged_stops(stops: Iterable[CleanStop], scenario: Scenario) -> tuple[LoggedStop, ...]:
    """Stops with station and cause named as the scenario does, as comparing needs them."""
    found = [
        LoggedStop(stop.start, stop.minutes, each.station or stop.station or "?", each.cause)
        for each in match_causes(tuple(stops), scenario)
        for stop in each.stops
    ]
    return tuple(sorted(found, key=lambda stop: (stop.start, stop.station, stop.cause)))


def station_of(text: str, scenario: Scenario | None) -> str | None:
    """The station of that name, or nearly; None where there is none."""
    names = [wrapper.name for wrapper in scenario.wrapper] if scenario else []
    names += [station for station in STATIONS if station not in names]
    best = max(names, key=lambda name: _likeness(text, name))
    return best if text and _likeness(text, best) >= _ALIKE else None


def _key(text: str) -> str:
    return " ".join(_WEB.sub("", plain(text)).split())


def _likeness(one: str, other: str) -> float:
    """1 for the same words in any order, 0 where different numbers tell them apart."""
    one, other = _key(one), _key(other)
    if one == other:
        return 1.0
    if _DIGITS.findall(one) != _DIGITS.findall(other):
        return 0.0
    ordered = (" ".join(sorted(one.split())), " ".join(sorted(other.split())))
    return max(
        SequenceMatcher(None, one, other, autojunk=False).ratio(),
        SequenceMatcher(None, *ordered, autojunk=False).ratio(),
    )


def _same_place(one: str | None, other: str, scenario: Scenario) -> bool:
    wrappers = {"wrapper", *(wrapper.name for wrapper in scenario.wrapper)}
    return one is None or one == other or {one, other} <= wrappers


def _known(
    cause: str, station: str | None, scenario: Scenario | None
) -> tuple[str, str | None, int | None] | None:
    if scenario is None:
        names = [n for n in KNOWN_CAUSES if _likeness(cause, n) >= _ALIKE]
        names = [n for n in names if station in (None, KNOWN_CAUSES[n]["station"])]
        if not names:
            return None
        best = max(names, key=lambda name: _likeness(cause, name))
        return best, str(KNOWN_CAUSES[best]["station"]), None
    best_at, best_likeness = -1, 0.0
    for at, stop in enumerate(scenario.stop):
        likeness = _likeness(cause, stop.cause)
        here = _same_place(station, stop.station, scenario)
        # The same name at another station: named by people who see it from elsewhere.
        likeness = likeness if here else 0.9 if likeness == 1 else 0.0
        if likeness > best_likeness:
            best_at, best_likeness = at, likeness
    if best_likeness < _ALIKE:
        return None
    return scenario.stop[best_at].cause, scenario.stop[best_at].station, best_at


def _built_in(cause: str) -> tuple[str, str | None, int | None] | None:
    best = max(BUILT_IN, key=lambda name: _likeness(cause, name))
    return (*BUILT_IN[best][:2], None) if _likeness(cause, best) >= _ALIKE else None


def _alike(
    cause: str, station: str | None, gathered: Iterable[tuple[str, str | None, int | None]]
) -> tuple[str, str | None, int | None] | None:
    new = [key for key in gathered if key[2] is None and key[1] == station]
    best = max(new, key=lambda key: _likeness(cause, key[0]), default=None)
    return best if best is not None and _likeness(cause, best[0]) >= _ALIKE else None
