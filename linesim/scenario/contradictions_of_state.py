"""What a state file says that cannot be true of the line of its scenario."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from linesim import paper
from linesim.scenario.faults import Contradiction, Path
from linesim.scenario.goods import goods_of, wrap_reams_per_roll
from linesim.scenario.people import crew_sizes
from linesim.scenario.scenario import Scenario
from linesim.scenario.spelling import nearest
from linesim.scenario.state_tables import (
    REEL_CHANGE,
    ROLL_CHANGE,
    SPLICE,
    WEB_BREAK,
    DownNow,
    LineState,
    WearNow,
    calendar_ns,
    down_ns,
)
from linesim.scenario.stops import STATIONS, Stop

_LARGEST_SPREADS = 3.0
"""Reels vary by so many standard deviations at most."""


def contradictions_of_state(state: LineState, scenario: Scenario) -> list[Contradiction]:
    """Everything in *state* that cannot be true of the line of *scenario*."""
    return [clash for check in _CHECKS for clash in check(state, scenario)]


def order_in_hand(state: LineState, scenario: Scenario) -> int:
    """Place of the order in hand in the sequence: the first where nobody says which it is."""
    names = [order.name for order in scenario.order]
    if state.order is None or state.order.name not in names:
        return 0
    return names.index(state.order.name)


def stop_called(scenario: Scenario, cause: str) -> Stop | None:
    """The stop cause of that name."""
    return next((stop for stop in scenario.stop if stop.cause == cause), None)


def _moment(state: LineState, scenario: Scenario) -> Iterator[Contradiction]:
    try:
        at = state.at
    except ValueError:
        yield Contradiction(("moment",), "there is no such day or time", "such as 2026-03-02 14:20")
        return
    starts = scenario.calendar.start
    if starts is None:
        return
    if calendar_ns(state, starts) < 0:
        yield Contradiction(
            ("moment",),
            f"it is before the scenario's calendar starts, {scenario.calendar.starts}",
            f"a moment from {starts:%Y-%m-%d %H:%M} on",
        )
    if state.into_shift_h is not None:
        yield Contradiction(
            ("into_shift_h",),
            "the scenario's calendar says when shifts begin",
            f"left out; at {at:%H:%M} by the calendar from {scenario.calendar.starts} on",
        )


def _reels(state: LineState, scenario: Scenario) -> Iterator[Contradiction]:
    webs, reels = scenario.unwind.webs, scenario.reels
    order = scenario.order[order_in_hand(state, scenario)] if scenario.order else None
    thickness = goods_of(scenario, order).thickness_um
    largest = reels.diameter_mm + _LARGEST_SPREADS * reels.diameter_sd_mm
    longest = paper.reel_length_m(
        max(largest, reels.core_diameter_mm), reels.core_diameter_mm, thickness
    )
    yield from _twice("reel", [reel.web for reel in state.reel], "the web", "web")
    for i, reel in enumerate(state.reel):
        if reel.web > webs:
            yield Contradiction(
                ("reel", i, "web"), f"the line has {webs} webs", f"a web from 1 to {webs}"
            )
        if reel.left_m is not None and reel.diameter_mm is not None:
            yield Contradiction(
                ("reel", i, "diameter_mm"), "left_m says how much is left, too", "one of the two"
            )
        if reel.left_m is not None and reel.left_m > longest:
            yield Contradiction(
                ("reel", i, "left_m"),
                f"a fresh reel of the scenario has {longest:,.0f} m at most",
                f"at most {longest:,.0f} m, or larger reels in the scenario",
            )
        if reel.diameter_mm is not None:
            low, high = reels.core_diameter_mm, largest
            if not low <= reel.diameter_mm <= high:
                yield Contradiction(
                    ("reel", i, "diameter_mm"),
                    "it is no diameter between the core and a fresh reel of the scenario",
                    f"from {low:g} to {high:g} mm",
                )
        if reel.partner_ready is not None and scenario.unwind.stands_per_web == 1:
            yield Contradiction(
                ("reel", i, "partner_ready"),
                "the webs have one stand each: no reel waits on a second",
                "left out",
            )


def _bridge(state: LineState, scenario: Scenario) -> Iterator[Contradiction]:
    places, reams = scenario.bridge_places, state.bridge.reams
    if reams is not None and reams > places:
        yield Contradiction(
            ("bridge", "reams"), f"the bridge has {places:,} places", f"at most {places:,} reams"
        )


def _rolls(state: LineState, scenario: Scenario) -> Iterator[Contradiction]:
    names = [wrapper.name for wrapper in scenario.wrapper]
    order = scenario.order[order_in_hand(state, scenario)] if scenario.order else None
    yield from _twice("roll", [roll.wrapper for roll in state.roll], "the wrapper", "wrapper")
    for i, roll in enumerate(state.roll):
        if roll.wrapper not in names:
            yield _unknown(
                ("roll", i, "wrapper"), "is no wrapper of this line", roll.wrapper, names
            )
            continue
        full = wrap_reams_per_roll(scenario, names.index(roll.wrapper), goods_of(scenario, order))
        if full is None:
            yield Contradiction(
                ("roll", i, "reams_left"),
                f"the scenario does not say how long the rolls of {roll.wrapper} are",
                "left out, or roll_length_m in the scenario",
            )
        elif roll.reams_left > full:
            yield Contradiction(
                ("roll", i, "reams_left"),
                f"a full roll wraps {full:,} reams",
                f"at most {full:,} reams",
            )


def _down(state: LineState, scenario: Scenario) -> Iterator[Contradiction]:
    known = [*STATIONS, *(wrapper.name for wrapper in scenario.wrapper), *scenario.end_of_line]
    there = {*STATIONS[: STATIONS.index("wrapper")], *scenario.end_of_line}
    there |= {wrapper.name for wrapper in scenario.wrapper}
    called = scenario.stations_called
    causes = [(down.cause, down.web, down.station) for down in state.down]
    yield from _twice("down", causes, "it", "cause")
    for i, down in enumerate(state.down):
        if not down.cause and not down.station:
            yield Contradiction(
                ("down", i),
                "it does not say what stands",
                "cause = one of the scenario, or station = and remaining_min =",
            )
        elif down.cause:
            yield from _stands_for(("down", i), down, scenario)
        elif len(called(down.station)) > 1 or called(down.station)[0] not in there:
            yield _unknown(
                ("down", i, "station"),
                "is no station of this line",
                down.station,
                [name for name in dict.fromkeys(known) if name in there],
            )
        elif down.remaining_min is None:
            yield Contradiction(
                ("down", i),
                "it is for no cause of the scenario, so nothing says how long it still takes",
                "remaining_min = minutes, or a law of chance",
            )
        yield from _since(state, i, down)


def _since(state: LineState, i: int, down: DownNow) -> Iterator[Contradiction]:
    try:
        ns = down_ns(state, down)
    except ValueError:
        if _is_moment(state):
            yield Contradiction(
                ("down", i, "since"), "there is no such day or time", "such as 14:05"
            )
        return
    if ns < 0:
        yield Contradiction(
            ("down", i, "since"),
            f"it is after the moment, {state.moment}",
            "a time before it",
            (("moment",),),
        )


def _is_moment(state: LineState) -> bool:
    try:
        return bool(state.at)
    except ValueError:
        return False


def _wear(state: LineState, scenario: Scenario) -> Iterator[Contradiction]:
    yield from _twice("wear", [(w.cause, w.web) for w in state.wear], "the cause", "cause")
    for i, wear in enumerate(state.wear):
        yield from _of_cause(("wear", i), wear, scenario)
        stop = stop_called(scenario, wear.cause)
        if stop is None:
            continue
        if stop.changed_every is not None and wear.used > stop.changed_every:
            yield Contradiction(
                ("wear", i, "used"),
                f"{wear.cause} is changed by plan every {stop.changed_every:g}",
                f"at most {stop.changed_every:g}",
            )
        elif stop.interval.below(wear.used) >= 1:
            yield Contradiction(
                ("wear", i, "used"),
                f"by the scenario {wear.cause} never runs so long without a stop",
                "less, or another law of the interval in the scenario",
            )


def _of_cause(path: Path, entry: DownNow | WearNow, scenario: Scenario) -> Iterator[Contradiction]:
    """Whether there is such a cause, and a web of it."""
    stop = stop_called(scenario, entry.cause)
    if stop is None:
        names = list(dict.fromkeys(stop.cause for stop in scenario.stop))
        yield _unknown((*path, "cause"), "is no stop cause of the scenario", entry.cause, names)
        return
    webs = scenario.unwind.webs
    if entry.web is not None and not stop.per_web:
        yield Contradiction(
            (*path, "web"), f"{entry.cause} is one cause of all webs together", "left out"
        )
    elif entry.web is not None and entry.web > webs:
        yield Contradiction((*path, "web"), f"the line has {webs} webs", f"a web from 1 to {webs}")
    elif entry.web is None and stop.per_web and isinstance(entry, DownNow):
        yield Contradiction(path, f"each web has {entry.cause} of its own", "web = its number")


def _stands_for(path: Path, down: DownNow, scenario: Scenario) -> Iterator[Contradiction]:
    """Whether that can stand: for a cause of the scenario, or for what every line has."""
    webs = scenario.unwind.webs
    stop = stop_called(scenario, down.cause)
    reel = SPLICE if scenario.unwind.prepares_stands else REEL_CHANGE
    if stop is None and down.cause not in (WEB_BREAK, reel, ROLL_CHANGE):
        names = [*dict.fromkeys(stop.cause for stop in scenario.stop), WEB_BREAK, reel, ROLL_CHANGE]
        yield _unknown((*path, "cause"), "is no stop cause of the scenario", down.cause, names)
        return
    if stop is not None:
        yield from _of_cause(path, down, scenario)
    elif down.cause == reel and not 1 <= (down.web or 0) <= webs:
        yield Contradiction(path, "it does not say of which web", f"web = from 1 to {webs}")
    station = "wrapper" if down.cause == ROLL_CHANGE else stop.station if stop is not None else ""
    there = scenario.stations_called(station)
    if len(there) > 1 and not down.station:
        yield Contradiction(
            path, "it does not say which of them stands", f"station = {' or '.join(there)}"
        )
    elif down.station and down.station not in there:
        yield _unknown(
            (*path, "station"), "has no such cause", down.station, [name for name in there if name]
        )


def _order(state: LineState, scenario: Scenario) -> Iterator[Contradiction]:
    if state.order is None:
        return
    if not scenario.order:
        yield Contradiction(
            ("order",), "the scenario has no orders", "left out; reams_made for what is made so far"
        )
        return
    names = [order.name for order in scenario.order]
    if state.order.name not in names:
        yield _unknown(("order", "name"), "is no order of the scenario", state.order.name, names)
        return
    reams = scenario.order[names.index(state.order.name)].reams
    if state.order.reams_made >= reams:
        yield Contradiction(
            ("order", "reams_made"),
            f"the order is of {reams:,} reams, so it is done",
            f"less than {reams:,}, or the name of the next order",
        )


def _behind(state: LineState, scenario: Scenario) -> Iterator[Contradiction]:
    behind, palletiser = state.behind, scenario.palletiser
    waits = {pieces.place: pieces.room for pieces in scenario.end_of_line.values()}
    magazines = [packer.magazine_blanks or 0 for packer in scenario.carton_packer]
    pallet = palletiser.cartons_per_pallet - 1 if palletiser is not None else None
    takes_away = palletiser is not None and (
        palletiser.truck_every_min is not None or palletiser.fetch_min is not None
    )
    places = palletiser.full_pallet_places if palletiser is not None and takes_away else None
    blanks = max([0, *magazines]) or None
    rooms: tuple[tuple[str, int | None, str], ...] = (
        ("reams_at_outfeed", waits.get("outfeed"), "reams may wait before the outfeed"),
        ("reams_at_packer", waits.get("carton_packer"), "reams may wait before the carton packer"),
        ("blanks", blanks, "blanks are in a full magazine"),
        (
            "cartons_at_palletiser",
            waits.get("palletiser"),
            "cartons may wait before the palletiser",
        ),
        ("cartons_on_pallet", pallet, "cartons are on a pallet that is not full"),
        ("full_pallets", places, "full pallets have a place"),
    )
    for field, most, words in rooms:
        value = getattr(behind, field)
        if value is None:
            continue
        if most is None:
            yield Contradiction(
                ("behind", field), "the line of the scenario has no such thing", "left out"
            )
        elif value > most:
            yield Contradiction(("behind", field), f"{most:,} {words} at most", f"at most {most:,}")


def _people(state: LineState, scenario: Scenario) -> Iterator[Contradiction]:
    size = crew_sizes(scenario)[1]
    if state.people.away > size:
        yield Contradiction(
            ("people", "away"), f"the crew is of {size} people", f"at most {size} people"
        )


def _twice(table: str, keys: Sequence[object], what: str, field: str) -> Iterator[Contradiction]:
    for i, key in enumerate(keys):
        if key in keys[:i]:
            yield Contradiction((table, i, field), f"{what} is told of twice", "one entry of each")


def _unknown(path: Path, problem: str, word: str, known: Sequence[str]) -> Contradiction:
    guess = nearest(word, known)
    listed = "one of " + ", ".join(known) if known else "left out; the scenario has none"
    return Contradiction(path, problem, (f"{guess}; or " if guess else "") + listed)


_Check = Callable[[LineState, Scenario], Iterator[Contradiction]]
_CHECKS: tuple[_Check, ...] = (
    _moment,
    _reels,
    _bridge,
    _rolls,
    _down,
    _wear,
    _order,
    _behind,
    _people,
)
