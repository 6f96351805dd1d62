"""What a plant calls a stop, matched to the causes and stations of a scenario."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass, replace

from linesim.plant.log_columns import plain
from linesim.plant.machine_names import station_of
from linesim.plant.names_alike import ALIKE, LOOKS_ALIKE, bare, names_alike
from linesim.plant.stop_log import CleanStop
from linesim.plant.stops_compared import LoggedStop
from linesim.scenario import Scenario
from linesim.scenario.end_of_line import END_OF_LINE
from linesim.scenario.known_causes import KNOWN_CAUSES
from linesim.scenario.spelling import likeness
from linesim.scenario.stops import BY_PLAN

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
_CHANGE_OVERS = {
    "change of size": ("change of size", "cutter", "[changeover]"),
    "size change": ("change of size", "cutter", "[changeover]"),
    "change of grade": ("change of grade", "cutter", "[changeover]"),
    "grade change": ("change of grade", "cutter", "[changeover]"),
}
"""A line with orders makes these, too."""
LINE_MADE = frozenset(name for name, _, _ in (*BUILT_IN.values(), *_CHANGE_OVERS.values()))
"""Stops that a line makes by itself, as runs call them."""
_BY_PLAN = re.compile(rf"\W*\b{BY_PLAN.strip(', ')}\b\W*", re.IGNORECASE)


@dataclass(frozen=True)
class MatchedCause:
    """A cause, all stops that are of it, and how its name was found.

    ``station`` is None where the log names none that the scenario has. ``place`` is the position
    of its entry in the scenario, None for a cause that is new to it.
    """

    cause: str
    station: str | None
    place: int | None = None
    stops: tuple[CleanStop, ...] = ()
    written: tuple[str, ...] = ()
    """As the plant wrote it, most frequent first."""
    looks_like: str | None = None
    """A cause that this may be: it is not written until the plant tells."""
    set_in: str | None = None
    """The table that brings such stops of itself; None for a stop cause."""
    changes: tuple[CleanStop, ...] = ()
    """When the part was changed by plan, before it failed."""

    @property
    def new(self) -> bool:
        return self.place is None and self.set_in is None and self.looks_like is None


def match_causes(
    stops: Iterable[CleanStop],
    scenario: Scenario | None = None,
    terms: Mapping[str, str] | None = None,
    stations: Mapping[str, str] | None = None,
) -> tuple[MatchedCause, ...]:
    """Gather stops by cause, in order of the scenario, then new causes by count.

    A cause is the scenario's where the name is the same but for case, accents, signs and the web,
    or nearly so at the same station. A name that only looks like one of the scenario's, or like one
    of the stops that the line makes by itself, is asked about (``looks_like``). *terms* maps what
    the log says to the name meant, and goes before; told to be what it is, it is a cause of its
    own. *stations* maps what the log calls a machine to the station meant. New spellings that are
    nearly alike at one station are one cause, named as most often. What is named, or told to be,
    "CAUSE, by plan" is no stop of that cause but a change of its part.
    """
    by_hand = {plain(log): name for log, name in (terms or {}).items()}
    stops = tuple(stops)
    counts = Counter((stop.cause, stop.station) for stop in stops)
    named_so = Counter(plain(stop.cause) for stop in stops)
    gathered: dict[MatchedCause, list[tuple[str, str]]] = {}  # without their stops so far
    by_plan: set[tuple[str, str]] = set()
    for (cause, where), _ in sorted(
        counts.items(), key=lambda item: (-named_so[plain(item[0][0])], -item[1], item[0])
    ):
        named = by_hand.get(plain(cause), cause)
        part, told = _changed_part(cause, scenario), _changed_part(named, scenario)
        if part or told:
            by_plan.add((cause, where))
        named = told or named
        own = plain(cause) in by_hand and plain(named) == plain(part or cause)
        what = _what(named, station_of(where, scenario, stations), scenario, gathered, own=own)
        gathered.setdefault(what, []).append((cause, where))
    return tuple(
        replace(
            what,
            stops=_of(stops, set(spellings) - by_plan),
            changes=_of(stops, by_plan.intersection(spellings)),
            written=tuple(dict.fromkeys(cause for cause, _ in spellings)),
        )
        for what, spellings in sorted(
            gathered.items(),
            key=lambda item: (
                item[0].place is None,
                item[0].place or 0,
                -sum(counts[spelling] for spelling in item[1]),
                item[0].cause,
            ),
        )
    )


def logged_stops(
    stops: Iterable[CleanStop],
    scenario: Scenario,
    terms: Mapping[str, str] | None = None,
    stations: Mapping[str, str] | None = None,
) -> tuple[LoggedStop, ...]:
    """Stops with station and cause named as the scenario does, as comparing needs them."""
    found = [
        LoggedStop(stop.start, stop.minutes, each.station or stop.station or "?", each.cause + how)
        for each in match_causes(tuple(stops), scenario, terms, stations)
        for how, some in (("", each.stops), (BY_PLAN, each.changes))
        for stop in some
    ]
    return tuple(sorted(found, key=lambda stop: (stop.start, stop.station, stop.cause)))


def _of(stops: Iterable[CleanStop], spellings: Set[tuple[str, str]]) -> tuple[CleanStop, ...]:
    return tuple(stop for stop in stops if (stop.cause, stop.station) in spellings)


def _changed_part(cause: str, scenario: Scenario | None) -> str:
    """The cause whose part was changed by plan; empty where it is none, or so called itself."""
    stated = scenario.stop if scenario is not None else ()
    if not _BY_PLAN.search(cause) or any(bare(each.cause) == bare(cause) for each in stated):
        return ""
    return _BY_PLAN.sub(" ", cause).strip()


def _same_place(one: str | None, other: str, scenario: Scenario) -> bool:
    places = ({place, *scenario.stations_called(place)} for place in ("wrapper", *END_OF_LINE))
    return one is None or one == other or any({one, other} <= place for place in places)


def _what(
    cause: str,
    station: str | None,
    scenario: Scenario | None,
    so_far: Iterable[MatchedCause],
    *,
    own: bool,
) -> MatchedCause:
    """What a cause of the log is; with *own* only what bears its very name."""
    by_itself, itself_like = _built_in(cause, scenario)
    found, like = _known(cause, station, scenario)
    if max(itself_like, like) == 1:
        return by_itself if itself_like == 1 else found
    if own:
        return MatchedCause(cause, station)
    if like >= ALIKE and like > itself_like:
        return found
    new = MatchedCause(cause, station)
    if scenario is not None and max(itself_like, like) >= LOOKS_ALIKE:
        new = replace(new, looks_like=(by_itself if itself_like >= like else found).cause)
    others = [each for each in so_far if each == replace(new, cause=each.cause)]
    best = max(others, key=lambda each: names_alike(cause, each.cause), default=new)
    return best if names_alike(cause, best.cause) >= ALIKE else new


def _known(
    cause: str, station: str | None, scenario: Scenario | None
) -> tuple[MatchedCause, float]:
    """The likest cause of the scenario, or without one of those known, and how like it is."""
    found: tuple[MatchedCause, float] = (MatchedCause("", None), 0.0)
    if scenario is None:
        for name, fields in KNOWN_CAUSES.items():
            here = station in (None, fields["station"])
            if here and (like := names_alike(cause, name)) > found[1]:
                found = MatchedCause(name, str(fields["station"])), like
        return found
    for at, stop in enumerate(scenario.stop):
        like = names_alike(cause, stop.cause)
        if not _same_place(station, stop.station, scenario):
            # The same name at another station: named by people who see it from elsewhere.
            like = 0.9 if like == 1 else 0.0
        if like > found[1]:
            found = MatchedCause(stop.cause, stop.station, at), like
    return found


def _built_in(cause: str, scenario: Scenario | None) -> tuple[MatchedCause, float]:
    """The likest of the stops that the line makes by itself, and how like it is.

    One whose words are all in the cause, or all but for a slip, is at least asked about: a
    "failed splice" may be one.
    """
    made = BUILT_IN | (_CHANGE_OVERS if scenario is not None and scenario.order else {})
    words = bare(cause).split()

    def like(name: str) -> float:
        within = all(any(likeness(a, b) >= ALIKE for b in words) for a in name.split())
        return max(names_alike(cause, name), LOOKS_ALIKE if within else 0.0)

    best = max(made, key=like)
    name, station, set_in = made[best]
    return MatchedCause(name, station, set_in=set_in), like(best)
