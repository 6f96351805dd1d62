"""Contradictions of grades, sizes, orders and the work between them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from linesim.scenario.faults import Contradiction, Path
from linesim.scenario.order_tables import MOMENT_WANTED, OF_PAPER, OF_SHEET, moment
from linesim.scenario.scenario import Scenario
from linesim.scenario.spelling import nearest

_FIGURES = {"grade": OF_PAPER, "size": OF_SHEET}


def _names(s: Scenario) -> Iterator[Contradiction]:
    """Grades and sizes have names of their own, so that a change-over says what it means.

    So do orders: promises, state files and forecasts go by their names.
    """
    for tables in (("grade", "size"), ("order",)):
        seen: dict[str, Path] = {}
        for path, name in (((t, i), e.name) for t in tables for i, e in enumerate(getattr(s, t))):
            if name in seen:
                yield Contradiction(
                    (*path, "name"),
                    f"a{'n' * (tables == ('order',))} {seen[name][0]} is named {name!r} already",
                    f"a name of its own for each {' and '.join(tables)}",
                    (seen[name],),
                )
            seen.setdefault(name, (*path, "name"))


def _named(s: Scenario) -> Iterator[Contradiction]:
    """What is named is there, and says nothing else than who names it."""
    users = [(("product",), s.product), *((("order", i), o) for i, o in enumerate(s.order))]
    for where, user in users:
        for table, figures in _FIGURES.items():
            name = getattr(user, table)
            if name is None:
                continue
            named = s.named(table, name)
            if named is None:
                yield _unknown(s, (*where, table), (table,), name)
                continue
            number = getattr(s, table).index(named)
            for figure in figures:
                own, its = getattr(user, figure), getattr(named, figure)
                if None not in (own, its) and own != its:
                    yield Contradiction(
                        (*where, figure),
                        f"the {table} {name!r} has {its:g}",
                        f"{its:g}, or left out; or another {table}",
                        ((*where, table), (table, number, figure)),
                    )
    size = s.named("size", s.product.size)
    if size is not None and size.lanes not in (None, s.slitter.lanes):
        yield Contradiction(
            ("slitter", "lanes"),
            f"the product is of the size {size.name!r}, which is made in {size.lanes} lanes",
            f"{size.lanes}, or left out; or another size",
            (("product", "size"), ("size", s.size.index(size), "lanes")),
        )


def _unknown(s: Scenario, path: Path, tables: tuple[str, ...], name: str) -> Contradiction:
    known = [each.name for table in tables for each in getattr(s, table)]
    guess = nearest(name, known)
    right = (f'"{guess}"; ' if guess else "") + "one of " + ", ".join(known)
    heads = " or ".join(f"[[{table}]]" for table in tables)
    return Contradiction(
        path, f"there is no {' or '.join(tables)} {name!r}", right if known else f"a table {heads}"
    )


def _limits(s: Scenario) -> Iterator[Contradiction]:
    """What a grade or a size slows is there."""
    by_hand = all(wrapper.wrap_s is not None for wrapper in s.wrapper)
    for table in ("grade", "size"):
        for i, each in enumerate(getattr(s, table)):
            if each.wrapper_rate_reams_per_min is not None and by_hand:
                yield Contradiction(
                    (table, i, "wrapper_rate_reams_per_min"),
                    "every wrapper has a time by hand (wrap_s), which is not slowed by it",
                    "a wrapper with a rated speed, or no such figure",
                    tuple(("wrapper", n, "wrap_s") for n in range(len(s.wrapper))),
                )
            if each.packer_rate_cartons_per_min is not None and not s.carton_packer:
                yield Contradiction(
                    (table, i, "packer_rate_cartons_per_min"),
                    "the line packs no cartons",
                    "a table [carton_packer], or no such figure",
                    (("carton_packer",),),
                )


def _pairs(s: Scenario) -> Iterator[Contradiction]:
    kinds = {each.name: table for table in ("size", "grade") for each in getattr(s, table)}
    times = Counter((pair.before, pair.after) for pair in s.changeover_pair)
    seen = set()
    for i, pair in enumerate(s.changeover_pair):
        ends = {end: getattr(pair, end) for end in ("before", "after")}
        unknown = [end for end, name in ends.items() if name not in kinds]
        for end in unknown:
            yield _unknown(s, ("changeover_pair", i, end), ("grade", "size"), ends[end])
        path: Path = ("changeover_pair", i, "after")
        before: Path = ("changeover_pair", i, "before")
        if pair.before == pair.after:
            yield Contradiction(
                path, "nothing changes from one to the same", "another grade or size", (before,)
            )
        elif not unknown and kinds[pair.before] != kinds[pair.after]:
            yield Contradiction(
                path,
                f"{pair.before!r} is a {kinds[pair.before]}, {pair.after!r} is a"
                f" {kinds[pair.after]}",
                "two grades, or two sizes",
                (before,),
            )
        if times[pair.before, pair.after] > 1 and (pair.before, pair.after) in seen:
            yield Contradiction(
                path,
                f"from {pair.before!r} to {pair.after!r} is given twice",
                "one of the two; the way back is a change-over of its own",
                (before,),
            )
        seen.add((pair.before, pair.after))


def _dates(s: Scenario) -> Iterator[Contradiction]:
    for i, order in enumerate(s.order):
        for field, hours in (("due", "due_h"), ("released", "released_h")):
            text, path = getattr(order, field), ("order", i, field)
            if text is None:
                continue
            try:
                moment(text)
            except ValueError:
                yield Contradiction(
                    path,
                    "there is no such day or hour",
                    MOMENT_WANTED,
                )
                continue
            if getattr(order, hours) is not None:
                yield Contradiction(
                    path,
                    f"{hours} says the same in hours",
                    f"{field} or {hours}, not both",
                    (("order", i, hours),),
                )
            if s.calendar.starts is None:
                yield Contradiction(
                    path,
                    "the scenario does not say when a run starts",
                    f"starts in [calendar], or {field}_h in hours after the start",
                    (("calendar", "starts"),),
                )
        yield from _in_turn(s, i)


def _in_turn(s: Scenario, i: int) -> Iterator[Contradiction]:
    order = s.order[i]
    due, released = s.due_h(order), s.released_h(order)
    if due is None:
        return
    field = "due" if order.due is not None else "due_h"
    path: Path = ("order", i, field)
    if due <= 0 and order.due is not None:
        yield Contradiction(
            path,
            f"the run starts on {s.calendar.starts}, not before it",
            "a later date",
            (("calendar", "starts"),),
        )
    elif released >= due:
        said = "released" if order.released is not None else "released_h"
        yield Contradiction(
            path,
            f"order {order.name!r} is released {released - due:g} h after that: it is never in"
            " time",
            "a date after its release",
            (("order", i, said),),
        )


CHECKS = (_names, _named, _limits, _pairs, _dates)
