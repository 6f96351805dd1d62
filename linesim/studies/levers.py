"""What may be changed on a line: each lever, how far, what it costs, and the line changed so."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from linesim.money import Purchase
from linesim.record.capacity import PALLETISER, WRAPPERS
from linesim.scenario import Scenario, ScenarioFaults, Stop
from linesim.scenario.buffers import BRIDGE, Buffer, buffers_of
from linesim.scenario.changed_law import scaled
from linesim.scenario.fields import values_of
from linesim.scenario.levers_table import LeverName
from linesim.statistics import counted
from linesim.studies.bridge_levels import levels_at
from linesim.studies.changes import (
    Data,
    changed,
    faster,
    ready_for_more,
    with_another,
    with_buffers,
    with_cause_rarer,
    with_cause_shorter,
    with_faster_changeovers,
    with_faster_roll_changes,
    with_levels,
)
from linesim.studies.lever import Lever, Step, by_levers, for_each, free, shorter
from linesim.studies.levers_of_people import people_levers
from linesim.studies.levers_of_reels import break_levers, reel_levers
from linesim.studies.plan_changes import (
    formula_of,
    has_price,
    minute_price,
    money_formula_of,
    with_plan,
)
from linesim.studies.worth import purchase_of

_LONGER = (1.25, 1.5, 2.0, 3.0, 4.5)
_LONGER_CONVEYORS = (1.5, 3.0)
"""Fewer, since there are several: size-buffers is the close look."""
_FURTHER = 1.2
_SPEED_STEPS = 2


def levers_of(scenario: Scenario, dearest: Sequence[str] = ()) -> tuple[Lever, ...]:
    """Every lever that the line has and that may be touched, in the order they are applied in.

    ``dearest`` are the stop causes that are thought rarer, or sooner mended, by their names.
    Steps that make no other line are left out, and levers without steps.
    """
    made = [
        *_buffers(scenario),
        Lever("bridge_levels", "other bridge levels", tuple(_levels(scenario))),
        Lever(
            "more_wrappers",
            "more wrappers",
            tuple(_more_machines(scenario, "wrapper", scenario.levers.more_wrappers)),
        ),
        Lever(
            "more_carton_packers",
            "more carton packers",
            tuple(_more_machines(scenario, "carton_packer", scenario.levers.more_carton_packers)),
        ),
        _faster(scenario, "faster_wrapper", "faster wrappers", WRAPPERS),
        _faster(scenario, "faster_carton_packer", "faster carton packing", "carton_packer"),
        _faster(scenario, "faster_palletiser", "faster palletiser", PALLETISER),
        *_pallets(scenario),
        Lever("web_speed", "other web speed", tuple(_speeds(scenario))),
        *reel_levers(scenario),
        *people_levers(scenario),
        *_rolls(scenario),
        *_changeovers(scenario),
        *_plans(scenario),
        *break_levers(scenario),
        *_stops(scenario, dearest),
    ]
    found = []
    for lever in made:
        steps = tuple(step for step in lever.steps if _makes_another(scenario, step))
        if steps and lever.key not in scenario.levers.left_alone:
            found.append(Lever(lever.key, lever.name, steps))
    return tuple(found)


def _makes_another(scenario: Scenario, step: Step) -> bool:
    try:
        return step.change(scenario) != scenario
    except ScenarioFaults:
        return False


def _buffers(scenario: Scenario) -> Iterator[Lever]:
    for name, buffer in buffers_of(scenario).items():
        key: LeverName = "longer_bridge" if name == BRIDGE else "longer_conveyors"
        yield Lever(key, f"longer {_bare(buffer)}", tuple(_longer(scenario, buffer)))


def _longer(scenario: Scenario, buffer: Buffer) -> Iterator[Step]:
    """Whole sets more on the bridge, whole pieces elsewhere; none at all can be doubled."""
    whole = scenario.set_reams if buffer.name == BRIDGE else 1
    now = max(buffer.places, whole)
    times = _LONGER if buffer.name == BRIDGE else _LONGER_CONVEYORS
    wanted = {min(buffer.most, -(-round(now * each) // whole) * whole) for each in times}
    # As far as the hall allows, not as far as we thought of.
    if buffer.name == BRIDGE and buffer.most > _FURTHER * max(wanted):
        wanted.add(buffer.most)
    for places in sorted(each for each in wanted if each > buffer.places):
        yield longer_step(scenario, buffer, places)


def longer_step(scenario: Scenario, buffer: Buffer, places: int) -> Step:
    """A buffer of so many places, each more at its price."""
    more = {buffer.name: places - buffer.places}

    def cost(priced: Scenario, years: float) -> Purchase | None:
        return purchase_of(priced, years, **more)

    words = (
        f"{_bare(buffer)} of {buffer.metres(places):.3g} m, {places:,} {buffer.piece} (now"
        f" {buffer.length_m:.3g} m, {buffer.places:,})"
    )
    change = partial(with_buffers, places={buffer.name: places})
    return Step(words, change, cost, (places - buffer.places) / max(1, buffer.places))


def _bare(buffer: Buffer) -> str:
    return buffer.words.removeprefix("the ")


def _levels(scenario: Scenario) -> Iterator[Step]:
    """None at all, and shares of the stop level, whatever bridge there is by then."""
    yield Step(
        "no bridge levels: the sheeter runs until the bridge is full",
        partial(with_levels, stop=None, restart=None, slow=None),
        free,
    )

    def change(restart: float, slow: float | None, line: Scenario) -> Scenario:
        return with_levels(line, *levels_at(line, restart, slow))

    given = scenario.bridge.stop_at_reams is not None
    stops = "" if given else "stopped one set below the full bridge, "
    level = "its stop level" if given else "that level"
    for slow in (None, 0.8):
        for restart in (0.75, 1.0):
            share = "" if restart == 1 else f"{100 * restart:.0f} % of "
            words = f"sheeter {stops}restarted at {share}{level}"
            words += f", slowed from {100 * slow:.0f} % of it" if slow else ", never slowed"
            yield Step(words, partial(change, restart, slow), free)


def _more_machines(scenario: Scenario, table: str, at_most: int) -> Iterator[Step]:
    """More wrappers, or more carton packers, like the last one there is."""
    now = len(getattr(scenario, table))
    bought, name = (
        {"wrapper": "wrappers", "carton_packer": "packers"}[table],
        table.replace("_", " "),
    )

    def change(more: int, line: Scenario) -> Scenario:
        line = ready_for_more(line, table)
        for _ in range(more):
            line = with_another(line, table)
        return line

    def cost(more: int, priced: Scenario, years: float) -> Purchase | None:
        return purchase_of(priced, years, **{bought: more})

    for more in range(1, at_most + 1 if now else 0):
        words = f"{counted(more, f'more {name}')}, {now + more} in all"
        yield Step(words, partial(change, more), partial(cost, more), more)


def _faster(scenario: Scenario, key: LeverName, name: str, station: str) -> Lever:
    percent = values_of(scenario.levers)[f"{key}_percent"]
    if not percent or not (station == WRAPPERS or station in scenario.end_places):
        return Lever(key, name, ())
    factor = 1 + percent / 100
    change = partial(faster, station=station, factor=factor)
    return Lever(key, name, (Step(f"{name}, by {percent:g} %", change, by_levers(key)),))


def _pallets(scenario: Scenario) -> Iterator[Lever]:
    """Changes of pallets, and places for full ones."""
    palletiser, levers = scenario.palletiser, scenario.levers
    if palletiser is None:
        return
    less = levers.faster_pallet_change_percent

    def quicker(data: Data) -> None:
        data[PALLETISER]["change_s"] = scaled(data[PALLETISER]["change_s"], 1 - less / 100)

    def widen(more: int, data: Data) -> None:
        data[PALLETISER]["full_pallet_places"] += more

    change = partial(changed, change=quicker)
    yield shorter("faster_pallet_change", "shorter changes of pallets", less, change)
    if palletiser.truck_every_min is None and palletiser.fetch_min is None:
        return
    now = palletiser.full_pallet_places
    steps = [
        Step(
            f"places for {now + more} full pallets (now {now})",
            partial(changed, change=partial(widen, more)),
            for_each("pallet_place_price", more),
            more,
        )
        for more in sorted({1, 2, levers.more_pallet_places})
        if 0 < more <= levers.more_pallet_places
    ]
    yield Lever("more_pallet_places", "places for full pallets", tuple(steps))


def _speeds(scenario: Scenario) -> Iterator[Step]:
    now = scenario.cutter.web_speed_m_per_min
    least = now * (1 - scenario.levers.web_slower_percent / 100)
    most = scenario.levers.most_web_speed_m_per_min or now
    parts = [n / _SPEED_STEPS for n in range(1, _SPEED_STEPS + 1)]

    def change(speed: float, line: Scenario) -> Scenario:
        return changed(line, lambda data: data["cutter"].update(web_speed_m_per_min=speed))

    for end in (least, most):
        for part in parts:
            speed = round(now + part * (end - now), 1)
            if speed != now:
                words = f"webs at {speed:g} m/min (now {now:g}), {_breaks(scenario, speed / now)}"
                yield Step(words, partial(change, speed), free)


def _breaks(scenario: Scenario, factor: float) -> str:
    """What becomes of web breaks at so many times the speed."""
    path = scenario.web_path
    if not path.speed_exponent or not path.breaks_per_100_reels:
        return "breaks a reel as now"
    more = 100 * (factor**path.speed_exponent - 1)
    return f"{abs(more):.0f} % {'more' if more > 0 else 'fewer'} breaks a reel"


def _rolls(scenario: Scenario) -> Iterator[Lever]:
    less = scenario.levers.faster_roll_change_percent
    if any(wrapper.roll_length_m is not None for wrapper in scenario.wrapper):
        change = partial(with_faster_roll_changes, factor=1 - less / 100)
        yield shorter("faster_roll_change", "shorter changes of wrapping rolls", less, change)


def _changeovers(scenario: Scenario) -> Iterator[Lever]:
    less = scenario.levers.faster_changeover_percent
    if len(scenario.order) > 1:
        change = partial(with_faster_changeovers, factor=1 - less / 100)
        yield shorter("faster_changeover", "shorter change-overs", less, change)


def _plans(scenario: Scenario) -> Iterator[Lever]:
    """Parts of which it is known what a planned change takes, at the age that is best.

    Best in time, and where its parts have a price in money; or run to failure, where that is not
    so now.
    """
    for place, stop in enumerate(scenario.stop):
        if stop.change_min is None or stop.planned:
            continue
        forms = [formula_of(stop)]
        if has_price(stop):
            forms.append(money_formula_of(stop, minute_price(scenario, stop)))
        ages = {float(f"{age:.2g}") for form in forms if (age := form.best_age()) is not None}
        where = f"{stop.cause} at {stop.station}"
        steps = [
            Step(
                f"{where}: changed by plan every {every:,.10g} {_unit(stop)}",
                partial(with_plan, place=place, every=every),
                free,
            )
            for every in sorted(ages)
        ]
        if stop.changed_every is not None:
            change = partial(with_plan, place=place, every=None)
            steps.append(Step(f"{where}: changed when it fails, not by plan", change, free))
        yield Lever("planned_changes", f"{where} by plan", tuple(steps))


def _unit(stop: Stop) -> str:
    return {"every_web_km": "km", "every_cuts": "cuts", "every_reams": "reams"}.get(stop.meter, "h")


def _stops(scenario: Scenario, dearest: Sequence[str]) -> Iterator[Lever]:
    """The dearest causes rarer, and sooner mended; of reels, rolls and breaks others speak."""
    levers = scenario.levers
    kinds: tuple[tuple[LeverName, str, float, Callable[..., Scenario]], ...] = (
        ("rarer_stops", "rarer", levers.rarer_percent, with_cause_rarer),
        ("shorter_stops", "sooner mended", levers.shorter_percent, with_cause_shorter),
    )

    def cost(key: LeverName, cause: str, priced: Scenario, years: float) -> Purchase | None:
        field = "rarer_price" if key == "rarer_stops" else "shorter_price"
        prices = [getattr(stop, field) for stop in priced.stop if stop.cause == cause]
        known = [price for price in prices if price is not None]
        return Purchase(sum(known), 0.0, 0.0, years) if known else None

    for cause in dearest:
        if all(stop.cause != cause for stop in scenario.stop):
            continue
        for key, what, percent, change in kinds:
            step = Step(
                f"{cause}: {percent:g} % {what}",
                partial(change, cause=cause, factor=1 - percent / 100),
                partial(cost, key, cause),
            )
            yield Lever(key, f"{cause} {what}", (step,))
