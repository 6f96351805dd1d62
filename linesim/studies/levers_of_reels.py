"""Levers of the reels: stands, splices, trucks, how large reels are, which change together."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

from linesim.paper.reels import reel_length_m
from linesim.scenario import Scenario
from linesim.scenario.changed_law import scaled
from linesim.statistics import counted
from linesim.studies.changes import Data, changed, with_fewer_breaks
from linesim.studies.lever import Lever, Step, by_levers, for_each, free, shorter

_SHARES_OF_A_REEL = (0.05, 0.1, 0.2)
_A_FEW_STANDS = (1, 2)


def reel_levers(scenario: Scenario) -> Iterator[Lever]:
    """Every lever of the reels that the line has, in the order they are applied in."""
    flying = scenario.unwind.change == "flying_splice"
    yield Lever("more_stands", "more stands", tuple(_stands(scenario)))
    if flying:
        yield Lever("faster_splice", "faster splices", tuple(_faster_splices(scenario)))
    else:
        step = Step("flying splices", partial(changed, change=_fly), by_levers("flying_splice"))
        yield Lever("flying_splice", "flying splices", (step,))
        yield _shorter_changes(scenario)
        yield Lever("change_together", "reels changed together", tuple(_together(scenario)))
    yield Lever("more_trucks", "more reel trucks", tuple(_trucks(scenario)))
    yield Lever("larger_reels", "larger reels", tuple(_larger(scenario)))


def break_levers(scenario: Scenario) -> Iterator[Lever]:
    """Web breaks, of themselves and at splices, joints and starts, rarer."""
    less = scenario.levers.fewer_breaks_percent
    change = partial(with_fewer_breaks, factor=1 - less / 100)
    yield shorter("fewer_breaks", "fewer web breaks", less, change)


def _fly(data: Data) -> None:
    unwind = data["unwind"]
    unwind["change"] = "flying_splice"
    if not unwind.get("spare_stands"):
        unwind["stands_per_web"] = 2


def _stands(scenario: Scenario) -> Iterator[Step]:
    """Spare stands for all webs; where reels are changed standing, splices from them at a stop.

    As many as there are webs are a second one for each.
    """
    unwind, most = scenario.unwind, scenario.levers.more_stands
    if unwind.stands_per_web == 2:
        return
    now = unwind.spare_stands or 0
    pairs = unwind.webs if not now else 0

    def change(more: int, data: Data) -> None:
        table = data["unwind"]
        if more == pairs:
            table["stands_per_web"] = 2
        else:
            table["spare_stands"] = now + more
        if table["change"] == "standing_change":
            table["change"] = "standstill_splice"

    for more in sorted({*_A_FEW_STANDS, pairs} - {0}):
        if more > most or (pairs and more > pairs):
            continue
        spare = counted(more, "spare stand") if not now else f"{now + more} spare stands"
        words = "a second stand for each web" if more == pairs else spare
        words += f" (now {now})" if now else ""
        if unwind.change == "standing_change":
            words = f"splices at standstill, from {words}"
        yield Step(
            words,
            partial(changed, change=partial(change, more)),
            for_each("stand_price", more),
            more,
        )


def _faster_splices(scenario: Scenario) -> Iterator[Step]:
    now, rated = scenario.unwind.splice_speed_m_per_min, scenario.cutter.web_speed_m_per_min
    then = min(rated, round(now * (1 + scenario.levers.faster_splice_percent / 100), 1))
    if then > now:

        def change(data: Data) -> None:
            data["unwind"]["splice_speed_m_per_min"] = then

        words = f"flying splices at {then:g} m/min (now {now:g})"
        yield Step(words, partial(changed, change=change), by_levers("faster_splice"))


def _shorter_changes(scenario: Scenario) -> Lever:
    less = scenario.levers.faster_reel_change_percent

    def change(data: Data) -> None:
        for name in ("change_min", "splice_min"):
            data["unwind"][name] = scaled(data["unwind"][name], 1 - less / 100)

    return shorter(
        "faster_reel_change", "shorter reel changes", less, partial(changed, change=change)
    )


def _trucks(scenario: Scenario) -> Iterator[Step]:
    truck = scenario.reel_truck
    if truck is None:
        return

    def change(more: int, data: Data) -> None:
        data["reel_truck"]["trucks"] += more

    for more in range(1, scenario.levers.more_trucks + 1):
        yield Step(
            f"{counted(more, 'more reel truck')}, {truck.trucks + more} in all",
            partial(changed, change=partial(change, more)),
            for_each("truck_price", more, "truck_cost_per_year"),
            more,
        )


def _larger(scenario: Scenario) -> Iterator[Step]:
    largest, now = scenario.levers.most_reel_diameter_mm, scenario.reels.diameter_mm
    if largest is not None and largest > now:

        def change(data: Data) -> None:
            data["reels"]["diameter_mm"] = largest

        words = f"reels of {largest:g} mm (now {now:g})"
        yield Step(words, partial(changed, change=change), free)


def _together(scenario: Scenario) -> Iterator[Step]:
    unwind, reels = scenario.unwind, scenario.reels
    whole = reel_length_m(reels.diameter_mm, reels.core_diameter_mm, scenario.product.thickness_um)
    # Round metres: nobody sets a line to the centimetre.
    shares = [float(f"{share * whole:.2g}") for share in _SHARES_OF_A_REEL]

    def change(below_m: float, line: Scenario) -> Scenario:
        return changed(line, lambda data: data["unwind"].update(change_together_below_m=below_m))

    for below_m in (0.0, *shares):
        if unwind.webs > 1 and below_m != unwind.change_together_below_m:
            words = f"changed together below {below_m:,.10g} m" if below_m else "changed one by one"
            yield Step(f"reels {words}", partial(change, below_m), free)
