"""A moment of a run in words: short labels for a drawing, and sentences for who cannot see it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from linesim.record.moment import Moment, SetPlace
from linesim.record.states import PRODUCING, State, station_words
from linesim.report.plain import capital, listed
from linesim.report.ripple_in_words import clock_words
from linesim.scenario import WEB_STATIONS

WRAPPED = "reams wrapped, rejects too"
"""What has left the wrappers: beside the good reams that a strip counts."""


@dataclass(frozen=True)
class MomentLabels:
    """What a drawing of a moment writes beside its parts."""

    time: str
    order: str
    """Empty where there are no orders."""
    speed: str
    reels: tuple[str, ...]
    pockets: str
    belt: str
    sets: str
    bridge: str
    wrappers: tuple[str, ...]
    wrapped: str


@dataclass(frozen=True)
class BesideLabels:
    """What a drawing writes of another run beside the one it shows, at the same moment."""

    wrapped: str
    short_wrapped: str
    """The same where there is little room."""
    sentence: str
    """The whole, for who cannot see the drawing."""


def beside_labels(now: Moment, other: Moment, title: str) -> BesideLabels:
    """The other run in a few words; ``title`` says which it is, such as "before the change".

    Both moments are of single runs on the same draws: their difference has no interval, and the
    words say so.
    """
    apart = now.wrapped - other.wrapped
    more = f"{'+' if apart > 0 else '−' if apart < 0 else '±'}{abs(apart):,}"
    known = {each.name: each.words for each in now.stations}
    differing = (each for each in other.stations if known.get(each.name, each.words) != each.words)
    doing = states_in_words(replace(other, stations=tuple(differing)))
    on_bridge = f"{other.bridge_level} of {other.bridge_places} reams on the bridge"
    there = "; ".join((on_bridge, *doing))
    return BesideLabels(
        wrapped=f"{title} {other.wrapped:,}: {more} in this one run",
        short_wrapped=f"{title} {other.wrapped:,}",
        sentence=(
            f"{capital(title)}, at the same moment: {there};"
            f" {other.wrapped:,} reams wrapped, {more} in this one run."
        ),
    )


def moment_labels(moment: Moment, starts: dt.datetime | None = None) -> MomentLabels:
    """Short labels, each with its unit; the time by the calendar where a run ``starts`` on it."""
    return MomentLabels(
        time=clock_words(moment.t_ns, starts),
        order=f"order {moment.order}" if moment.order else "",
        speed=_speed(moment),
        reels=tuple(f"{reel.diameter_mm:.0f} mm" for reel in moment.reels),
        pockets=_pockets(moment),
        belt=f"{moment.belt_cuts:.0f} cuts held back" if moment.belt_cuts >= 1 else "",
        sets="; ".join(_set(moment, number) for number in range(len(moment.sets))),
        bridge=f"{moment.bridge_level} of {moment.bridge_places} reams",
        wrappers=tuple(
            "no ream" if each.part is None else f"{100 * each.part:.0f} % wrapped"
            for each in moment.wrappers
        ),
        wrapped=f"{moment.wrapped:,} {WRAPPED}",
    )


def _speed(moment: Moment) -> str:
    if moment.web_speed_m_per_min <= 0:
        return "webs stand"
    now, rated = moment.web_speed_m_per_min, moment.rated_speed_m_per_min
    return f"webs at {now:.0f} of {rated:.0f} m/min"


def _pockets(moment: Moment) -> str:
    if moment.full_set_waits:
        return "full set waits"
    return f"{moment.pocket_cuts:.0f} of {moment.cuts_per_ream} cuts"


def _set(moment: Moment, number: int) -> str:
    each = moment.sets[number]
    if each.place is SetPlace.IN_POCKETS:
        return f"set of {each.reams} waits in the pockets"
    return f"set of {each.reams} {each.place.value}"


def states_in_words(moment: Moment) -> tuple[str, ...]:
    """What stands or waits and why, stations with the same words together; none: all run."""
    groups: list[tuple[list[str], str]] = []
    for each in moment.stations:
        if each.state is State.RUNNING:
            continue
        if groups and groups[-1][1] == each.words:
            groups[-1][0].append(each.name)
        else:
            groups.append(([each.name], each.words))
    return tuple(f"{_names(names)} {words}" for names, words in groups)


def _names(names: list[str]) -> str:
    if tuple(names[: len(WEB_STATIONS)]) == WEB_STATIONS:
        names = ["sheeter", *names[len(WEB_STATIONS) :]]
    said = capital(listed(station_words(name) for name in names))
    return f"{said} {'is' if len(names) == 1 else 'are'}"


def describe_moment(moment: Moment) -> str:
    """The whole picture in sentences.

    Cuts in the pockets are as :class:`linesim.Moment` knows them.
    """
    labels = moment_labels(moment)
    reels = ", ".join(
        f"web {reel.web} {text}" for reel, text in zip(moment.reels, labels.reels, strict=True)
    )
    pockets = (
        "A full set waits in the pockets."
        if moment.full_set_waits
        else f"Each of {moment.lanes} pockets holds {labels.pockets}."
    )
    parts = [f"At {labels.time}{', ' + labels.order if labels.order else ''}: {labels.speed}."]
    parts += [f"Reels: {reels}.", pockets]
    if labels.belt:
        parts.append(f"Overlap belt: {labels.belt}.")
    if labels.sets:
        parts.append(f"Under way: {labels.sets}.")
    parts.append(f"On the bridge: {labels.bridge}.")
    for each, text in zip(moment.wrappers, labels.wrappers, strict=True):
        parts.append(f"{capital(each.name)}: {text}.")
    abnormal = states_in_words(moment)
    parts += [f"{text}." for text in abnormal] or ["Every station runs."]
    if all(each.state not in PRODUCING for each in moment.stations):
        parts.append("Nothing on the line runs.")
    parts.append(f"{labels.wrapped}.")
    return " ".join(parts)
