"""Contradictions of paper, stands, bridge and wrapping material.

Limits that are not arithmetic (the thinnest wrapping material, the largest roll) are common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from linesim import paper
from linesim.scenario.buffers import buffers_of
from linesim.scenario.faults import Contradiction, Path, at
from linesim.scenario.goods import Sizes, sizes_of
from linesim.scenario.scenario import Scenario
from linesim.scenario.wrapping_tables import Wrapper

LARGEST_ROLL_MM = 1000.0
ROLL_CORE_MM = 76.0
THINNEST_WRAP_UM = 40.0
_MOST_WEBS = 20


Made = tuple[Path, str, Sizes]
"""Where it is said, what it is called, and what it is: the product, or an order."""


def all_made(s: Scenario) -> list[Made]:
    """The product where there are no orders, and every order."""
    if not s.order:
        return [((), "the product", sizes_of(s))]
    orders = enumerate(s.order)
    return [(("order", i), f"order {order.name!r}", sizes_of(s, order)) for i, order in orders]


_PITCHES = ("ream_pitch_mm", "carton_pitch_mm")
_PLACES = at("bridge", "places", "length_m", "ream_pitch_mm", "tracks")


def _counting(s: Scenario) -> Iterator[Contradiction]:
    sheets, webs = s.product.sheets_per_ream, s.unwind.webs
    if s.product.counting == "exact" and not paper.cuts_per_ream(sheets, webs).even:
        even = [str(n) for n in range(1, _MOST_WEBS + 1) if sheets % n == 0]
        yield Contradiction(
            ("unwind", "webs"),
            f"{webs} webs do not divide a ream of {sheets} sheets, and counting is exact",
            f'{", ".join(even)} webs; or counting = "round_up" in [product]',
            at("product", "sheets_per_ream", "counting"),
        )


def _bridge_levels(s: Scenario) -> Iterator[Contradiction]:
    b, places = s.bridge, s.bridge_places
    stop, restart, slow = b.stop_at_reams, b.restart_at_reams, b.slow_at_reams
    if restart is not None and stop is None:
        yield Contradiction(
            ("bridge", "restart_at_reams"),
            "there is a restart level but no level at which the sheeter is stopped",
            "stop_at_reams above it, or no restart_at_reams",
            at("bridge", "stop_at_reams"),
        )
    if restart is not None and stop is not None and restart >= stop:
        yield Contradiction(
            ("bridge", "restart_at_reams"),
            f"the restart level is not below the stop level of {stop} reams",
            f"0 to {stop - 1} reams",
            at("bridge", "stop_at_reams"),
        )
    if slow is not None and stop is not None and slow > stop:
        yield Contradiction(
            ("bridge", "slow_at_reams"),
            f"the slow level is above the stop level of {stop} reams: it is never reached",
            f"1 to {stop} reams",
            at("bridge", "stop_at_reams"),
        )
    levels = [("bridge", name) for name in ("slow_at_reams", "stop_at_reams", "catch_up_at_reams")]
    for table, field in [*levels, ("divert", "second_at_reams")]:
        level = getattr(getattr(s, table), field)
        if level is not None and level > places:
            yield Contradiction(
                (table, field),
                f"the level is above the {places} places of the bridge: it is never reached",
                f"1 to {places} reams, or a longer bridge",
                _PLACES,
            )


def _bridge_room(s: Scenario) -> Iterator[Contradiction]:
    places = s.bridge_places
    given = "places" if s.bridge.places is not None else "length_m"
    for where, _, sizes in all_made(s):
        if places >= sizes.lanes:
            continue
        in_order = bool(where) and s.order[int(where[1])].lanes is not None
        at: Path = (*where, "lanes") if in_order else ("bridge", given)
        yield Contradiction(
            at,
            f"the bridge has {places} places, fewer than the {sizes.lanes} reams of one set",
            f"a bridge of at least {sizes.lanes} places",
            (*_PLACES, ("slitter", "lanes"), *own(where, "lanes")),
        )


def _bridge_length(s: Scenario) -> Iterator[Contradiction]:
    """Places and length, where both are given, must be of one belt."""
    b, length = s.bridge, s.bridge_length_m
    by_length = b.belt.places_within(length)
    if b.places is not None and -(-b.places // b.tracks) * b.tracks != by_length:
        yield Contradiction(
            ("bridge", "places"),
            f"a belt of {length:g} m holds {by_length:,} reams",
            f"places or length_m, not both; or {by_length:,} places, or"
            f" {b.belt.length_for(b.places):,.10g} m",
            _PLACES,
        )


def _longest(s: Scenario) -> Iterator[Contradiction]:
    """No buffer is longer than there is room for."""
    for buffer in buffers_of(s).values():
        if buffer.longest_m < buffer.length_m:
            table = buffer.tables[0]
            fields = ("length_m", buffer.places_field, *_PITCHES, "tracks")
            yield Contradiction(
                (*table, "longest_m"),
                f"{buffer.words} itself is {buffer.length_m:g} m long",
                f"{buffer.length_m:g} m or more",
                tuple((*table, field) for field in fields),
            )


def own(where: Path, *fields: str) -> tuple[Path, ...]:
    """Where an order says these of its own; nothing for the product."""
    return tuple((*where, field) for field in fields) if where else ()


def _changes(s: Scenario) -> Iterator[Contradiction]:
    u, paired = s.unwind, s.unwind.stands_per_web == 2
    if u.change != "standing_change" and not u.prepares_stands:
        yield Contradiction(
            ("unwind", "stands_per_web"),
            f"a {u.change.replace('_', ' ')} needs a prepared partner stand",
            'stands_per_web = 2, or spare_stands, or change = "standing_change"',
            at("unwind", "change", "spare_stands"),
        )
    if paired and u.spare_stands is not None:
        yield Contradiction(
            ("unwind", "spare_stands"),
            "each web has a second stand of its own: spare ones for all webs are not used",
            "stands_per_web = 1 with spare_stands, or stands_per_web = 2 without",
            at("unwind", "stands_per_web"),
        )
    if u.change == "standing_change" and u.spare_stands is not None and not paired:
        yield Contradiction(
            ("unwind", "change"),
            "a standing change makes no use of spare stands",
            '"standstill_splice" or "flying_splice", or no spare_stands',
            at("unwind", "spare_stands"),
        )
    if u.change == "standing_change" and paired:
        yield Contradiction(
            ("unwind", "change"),
            "a standing change makes no use of the second stand of each pair",
            '"standstill_splice" or "flying_splice", or stands_per_web = 1',
            at("unwind", "stands_per_web"),
        )
    rated = s.cutter.web_speed_m_per_min
    if u.change == "flying_splice" and u.splice_speed_m_per_min > rated:
        yield Contradiction(
            ("unwind", "splice_speed_m_per_min"),
            f"the splice speed is above the rated web speed of {rated:g} m/min",
            f"above 0, up to {rated:g} m/min",
            (("unwind", "change"), ("cutter", "web_speed_m_per_min")),
        )


def _wrapping(s: Scenario) -> Iterator[Contradiction]:
    longest = paper.reel_length_m(LARGEST_ROLL_MM, ROLL_CORE_MM, THINNEST_WRAP_UM)
    for i, wrapper in enumerate(s.wrapper):
        roll = wrapper.roll_length_m
        if roll is not None and roll > longest:
            yield Contradiction(
                ("wrapper", i, "roll_length_m"),
                f"no roll holds that much: {THINNEST_WRAP_UM:g} um material on a roll of"
                f" {LARGEST_ROLL_MM:g} mm is {longest:,.0f} m long",
                f"above 0, up to {longest:,.0f} m (usual: 1000 to 6000 m)",
            )
        for made in all_made(s):
            clash = _wrap(s, i, wrapper, made)
            if clash is not None:
                yield clash
                break


def _wrap(s: Scenario, i: int, wrapper: Wrapper, made: Made) -> Contradiction | None:
    where, name, sizes = made
    height = paper.ream_height_mm(s.product.sheets_per_ream, sizes.thickness_um)
    fields = ("sheet_width_mm", "sheet_length_mm", "thickness_um")
    concerns = (
        *at("product", *fields, "sheets_per_ream"),
        *own(where, *fields),
        ("wrapper", i, "wrap_length_mm"),
        ("wrapper", i, "wrap_overlap_mm"),
    )
    girth = 2 * (min(sizes.sheet_width_mm, sizes.sheet_length_mm) + height)
    if wrapper.wrap_length_mm is not None and wrapper.wrap_length_mm < girth:
        return Contradiction(
            ("wrapper", i, "wrap_length_mm"),
            f"does not reach around a ream of {name} ({girth:g} mm)",
            f"at least {girth:g} mm, and an overlap",
            concerns,
        )
    length = wrapper.wrap_length_mm or paper.wrap_length_mm(
        sizes.sheet_width_mm, height, wrapper.wrap_overlap_mm
    )
    roll = wrapper.roll_length_m
    if roll is not None and paper.reams_per_roll(roll, length) < 1:
        return Contradiction(
            ("wrapper", i, "roll_length_m"),
            f"the roll is shorter than one wrap of {name} ({length:g} mm)",
            f"at least {length / 1000:g} m (usual: 1000 to 6000 m)",
            concerns,
        )
    return None


CHECKS = (
    _counting,
    _bridge_levels,
    _bridge_room,
    _bridge_length,
    _longest,
    _changes,
    _wrapping,
)
