"""What may be changed on a line: each lever, how far, what it costs, and the line changed so."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from linesim.money import Purchase
from linesim.paper.reels import reel_length_m
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
    with_faster_roll_changes,
    with_levels,
    with_more_people,
)
from linesim.studies.plan_changes import formula_of, with_plan
from linesim.studies.worth import purchase_of

Change = Callable[[Scenario], Scenario]
Cost = Callable[[Scenario, float], Purchase | None]

_LONGER = (1.25, 1.5, 2.0, 3.0, 4.5)
_SHARES_OF_A_REEL = (0.05, 0.1, 0.2)
_SPEED_STEPS = 2


@dataclass(frozen=True)
class Step:
    """How far a lever is moved: in words, the line changed so, and what it costs.

    ``cost`` is given the scenario that has the prices and the years that what is bought lasts; it
    gives None where a price is not known.
    """

    words: str
    change: Change
    cost: Cost
    far: float = 1.0
    """How far it is: of what has no price, the least is taken first."""


@dataclass(frozen=True)
class Lever:
    """One thing that may be changed, and how far: step by step."""

    key: LeverName
    name: str
    """In words; no two of a line have the same."""
    steps: tuple[Step, ...]


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
        Lever("web_speed", "other web speed", tuple(_speeds(scenario))),
        *_reels(scenario),
        Lever("more_people", "more people", tuple(_people(scenario))),
        *_rolls(scenario),
        *_plans(scenario),
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


def _free(_: Scenario, years: float) -> Purchase:
    return Purchase(0.0, 0.0, 0.0, years)


def _by_levers(key: str) -> Cost:
    """The price in [levers], and what it costs a year."""

    def cost(priced: Scenario, years: float) -> Purchase | None:
        said = values_of(priced.levers)
        price, a_year = said[f"{key}_price"], said[f"{key}_cost_per_year"]
        return None if price is None else Purchase(price, a_year, 0.0, years)

    return cost


def _buffers(scenario: Scenario) -> Iterator[Lever]:
    for name, buffer in buffers_of(scenario).items():
        key: LeverName = "longer_bridge" if name == BRIDGE else "longer_conveyors"
        yield Lever(key, f"longer {_bare(buffer)}", tuple(_longer(scenario, buffer)))


def _longer(scenario: Scenario, buffer: Buffer) -> Iterator[Step]:
    """Whole sets more on the bridge, whole pieces elsewhere; none at all can be doubled."""
    whole = scenario.set_reams if buffer.name == BRIDGE else 1
    now = max(buffer.places, whole)
    wanted = {min(buffer.most, -(-round(now * each) // whole) * whole) for each in _LONGER}
    for places in sorted(each for each in wanted if each > buffer.places):
        yield longer_step(scenario, buffer, places)


def longer_step(scenario: Scenario, buffer: Buffer, places: int) -> Step:
    """A buffer of so many places, each more at its price."""
    more = {buffer.name: places - buffer.places}

    def cost(priced: Scenario, years: float) -> Purchase | None:
        return purchase_of(priced, years, **more)

    words = (
        f"{_bare(buffer)} of {buffer.metres(places):.4g} m, {places:,} {buffer.piece} (now"
        f" {buffer.length_m:.4g} m, {buffer.places:,})"
    )
    change = partial(with_buffers, places={buffer.name: places})
    return Step(words, change, cost, (places - buffer.places) / max(1, buffer.places))


def _bare(buffer: Buffer) -> str:
    return buffer.words.removeprefix("the ")


def _levels(scenario: Scenario) -> Iterator[Step]:
    """None at all, and shares of the stop level, whatever bridge there is by then."""
    yield Step(
        "bridge levels taken away", partial(with_levels, stop=None, restart=None, slow=None), _free
    )

    def change(restart: float, slow: float | None, line: Scenario) -> Scenario:
        return with_levels(line, *levels_at(line, restart, slow))

    for slow in (None, 0.8):
        for restart in (0.25, 0.75, 1.0):
            words = f"bridge restarted at {100 * restart:.0f} % of the stop level"
            words += f", slow from {100 * slow:.0f} % of it" if slow else ", never slowed"
            yield Step(words, partial(change, restart, slow), _free)


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
    change = partial(faster, station=station, factor=1 + percent / 100)
    return Lever(key, name, (Step(f"{name}, by {percent:g} %", change, _by_levers(key)),))


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
                yield Step(f"webs at {speed:g} m/min (now {now:g})", partial(change, speed), _free)


def _reels(scenario: Scenario) -> Iterator[Lever]:
    """Splices, how long changes take, how large reels are, which change together."""
    unwind, levers = scenario.unwind, scenario.levers

    def fly(data: Data) -> None:
        pairs = {} if unwind.spare_stands else {"stands_per_web": 2}
        data["unwind"] |= {"change": "flying_splice"} | pairs

    if unwind.change != "flying_splice":
        step = Step("flying splices", partial(changed, change=fly), _by_levers("flying_splice"))
        yield Lever("flying_splice", "flying splices", (step,))
        less = levers.faster_reel_change_percent

        def shorten(data: Data) -> None:
            for name in ("change_min", "splice_min"):
                data["unwind"][name] = scaled(data["unwind"][name], 1 - less / 100)

        key: LeverName = "faster_reel_change"
        words = f"changes of reels {less:g} % shorter"
        step = Step(words, partial(changed, change=shorten), _by_levers(key))
        yield Lever(key, "shorter reel changes", (step,))
        yield Lever("change_together", "reels changed together", tuple(_together(scenario)))
    largest, now = levers.most_reel_diameter_mm, scenario.reels.diameter_mm
    if largest is not None and largest > now:

        def enlarge(data: Data) -> None:
            data["reels"]["diameter_mm"] = largest

        words = f"reels of {largest:g} mm (now {now:g})"
        step = Step(words, partial(changed, change=enlarge), _free)
        yield Lever("larger_reels", "larger reels", (step,))


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
            yield Step(f"reels {words}", partial(change, below_m), _free)


def _people(scenario: Scenario) -> Iterator[Step]:
    now = scenario.crew.size

    def cost(more: int, priced: Scenario, years: float) -> Purchase | None:
        return purchase_of(priced, years, people=more)

    for more in range(1, scenario.levers.more_people + 1):
        words = f"{counted(more, 'more person', 'more people')}, a crew of {now + more}"
        yield Step(words, partial(with_more_people, people=more), partial(cost, more), more)


def _rolls(scenario: Scenario) -> Iterator[Lever]:
    less, key = scenario.levers.faster_roll_change_percent, "faster_roll_change"
    if any(wrapper.roll_length_m is not None for wrapper in scenario.wrapper):
        change = partial(with_faster_roll_changes, factor=1 - less / 100)
        step = Step(f"changes of wrapping rolls {less:g} % shorter", change, _by_levers(key))
        yield Lever("faster_roll_change", "shorter roll changes", (step,))


def _plans(scenario: Scenario) -> Iterator[Lever]:
    """Parts of which it is known what a planned change takes: changed at the age that is best."""
    for place, stop in enumerate(scenario.stop):
        if stop.change_min is None or stop.planned:
            continue
        best = formula_of(stop).best_age()
        if best is not None:
            every = float(f"{best:.2g}")
            words = f"{stop.cause}: changed by plan every {every:,.10g} {_unit(stop)}"
            step = Step(words, partial(with_plan, place=place, every=every), _free)
            yield Lever("planned_changes", f"{stop.cause} by plan", (step,))


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
