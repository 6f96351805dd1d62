"""Effectiveness of the line and of each station, and the six big losses.

Factors by ISO 22400-2: availability = actual production time / planned busy time, performance
(there: effectiveness) = planned run time per item x produced quantity / actual production time,
quality = good quantity / produced quantity, OEE = their product. The six big losses are those of
Nakajima, *Introduction to TPM*, 1988. They, the good output and the work still on the line add up
to the planned busy time to the nanosecond: what remains after everything that is counted is
reduced speed.

The planned run time per item is that of the product made, product by product where there are
orders: at the rated speed of the station, or where wrappers may catch up at the speed they then
have, so that they are not faster than planned.

The line is measured against the station that is slowest for the product, in that station's time.
What is produced there is:

- at the sheeter: good reams, lost reams, and cuts rejected at the gate and sheets cleared out of
  pockets, as reams;
- at the transfer: good and lost reams;
- at the wrappers: good reams and those repulped (what never reached a wrapper took none of its
  time; paper rejected before is in the waste, not in this figure);
- at the outfeed: good reams.

Work still on the line took time but is neither good nor lost yet: it is not counted as produced,
lowers the performance, and is a step of its own. It is negative where the line delivered more
than entered it in the counted time. So work that stood there when the count began counts where it
is delivered or lost, but no more of it than the station's own time covers: the rest was made
before. However short the count, no factor passes 100 % by it, nor by a piece in hand.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields
from fractions import Fraction
from typing import Any

import numpy as np

from linesim.record.accounts import knives
from linesim.record.capacity import (
    SHEETER,
    WRAPPERS,
    planned_speeds,
    several,
    slowest,
    station_rates,
)
from linesim.record.pieces import Pieces, line_pieces, reams_of_web, station_pieces
from linesim.record.products import product_names, products
from linesim.record.record import Part, Record
from linesim.record.states import Loss
from linesim.scenario import WEB_STATIONS
from linesim.scenario.units import MINUTE


@dataclass(frozen=True)
class Effectiveness:
    """Where the time of the line or a station went, in ns; every sum is exact.

    ``rated_reams_per_min`` is what the station is measured against: over several products, the
    mean for what was made of them. It is infinite for a station that sets no pace of its own (the
    bridge): then nothing is booked as speed or rejects, and ``performance`` and what follows are
    None.
    """

    name: str
    rated_reams_per_min: float
    total_ns: int
    planned_stop_ns: int
    breakdown_ns: int
    set_up_ns: int
    minor_ns: int
    speed_ns: int
    start_up_ns: int
    process_ns: int
    on_the_line_ns: int
    good_ns: int

    @property
    def paced(self) -> bool:
        return math.isfinite(self.rated_reams_per_min)

    @property
    def planned_busy_ns(self) -> int:
        return self.total_ns - self.planned_stop_ns

    @property
    def production_ns(self) -> int:
        return self.planned_busy_ns - self.breakdown_ns - self.set_up_ns - self.minor_ns

    @property
    def availability(self) -> float:
        """0 where no work was planned."""
        return _ratio(self.production_ns, self.planned_busy_ns)

    @property
    def performance(self) -> float | None:
        return _ratio(self._produced_ns, self.production_ns) if self.paced else None

    @property
    def quality(self) -> float | None:
        """1 where nothing was produced, since nothing was bad."""
        if not self.paced:
            return None
        return _ratio(self.good_ns, self._produced_ns) if self._produced_ns else 1.0

    @property
    def oee(self) -> float | None:
        if self.performance is None or self.quality is None:
            return None
        return self.availability * self.performance * self.quality

    @property
    def _produced_ns(self) -> int:
        return self.good_ns + self.start_up_ns + self.process_ns

    def staircase(self) -> dict[str, int]:
        """The steps from planned busy time down to good output, in ns; they add up to it."""
        return {
            "breakdowns": self.breakdown_ns,
            "set-up and adjustment": self.set_up_ns,
            "idling and minor stops": self.minor_ns,
            "reduced speed": self.speed_ns,
            "start-up rejects": self.start_up_ns,
            "process rejects": self.process_ns,
            "work still on the line": self.on_the_line_ns,
            "good output": self.good_ns,
        }


def account(
    name: str, losses: Sequence[int], made: Sequence[tuple[float, Pieces | None]]
) -> Effectiveness:
    """Effectiveness from a row of ns by ``Loss`` and, by product, planned speed and what was made.

    Raises ``ValueError`` for a planned speed that is not above 0.

    >>> row = [0] * len(Loss)
    >>> row[Loss.PRODUCING], row[Loss.BREAKDOWN] = 400 * 60 * 10**9, 60 * 60 * 10**9
    >>> made = Pieces(Fraction(392), Fraction(0), Fraction(8), Fraction(0))
    >>> day = account("press", row, [(2.0, made)])
    >>> round(day.availability, 2), day.performance, day.quality, round(day.oee, 3)
    (0.87, 0.5, 0.98, 0.426)
    """
    speed, kinds = _mean_speed(made), [kind.name for kind in fields(Pieces)]
    each = dict.fromkeys(kinds, 0)
    for rated, pieces in made:
        if not rated > 0:
            raise ValueError(f"rated_reams_per_min is {rated}; it must be above 0")
        if pieces is not None and math.isfinite(speed):
            for kind in kinds:
                each[kind] += round(getattr(pieces, kind) * MINUTE / Fraction(rated))
    good, start_up, process, unfinished, in_hand = each.values()
    if math.isinf(speed):
        good = losses[Loss.PRODUCING]
    # What was made before the count: work that stood on the line, and pieces in hand.
    above = good + start_up + process - losses[Loss.PRODUCING]
    before = min(max(0, above), max(0, -unfinished) + in_hand)
    unfinished += min(before, max(0, -unfinished))
    good, process = good - min(before, good), process - max(0, before - good)
    return Effectiveness(
        name,
        speed,
        sum(losses),
        losses[Loss.PLANNED],
        losses[Loss.BREAKDOWN],
        losses[Loss.SET_UP],
        losses[Loss.MINOR],
        losses[Loss.PRODUCING] - good - start_up - process - unfinished,
        start_up,
        process,
        unfinished,
        good,
    )


def _mean_speed(made: Sequence[tuple[float, Pieces | None]]) -> float:
    """Planned speed for what was made, reams a minute; the first one's where nothing was."""
    if any(pieces is None or math.isinf(rated) for rated, pieces in made):
        return math.inf
    counted = [(rated, float(pieces.made)) for rated, pieces in made if pieces and pieces.made > 0]
    if len({rated for rated, _ in counted}) < 2:
        return (counted or made)[0][0]
    return sum(reams for _, reams in counted) / sum(reams / rated for rated, reams in counted)


@dataclass(frozen=True)
class OfProduct:
    """A product made: the line's effectiveness in its time, and its good reams.

    Its time is that from when the line was ready for it to when it was ready for another: the
    change-over that follows on it is in it. ``effectiveness.name`` is that of the product.
    """

    effectiveness: Effectiveness
    good_reams: int
    station: str
    """The slowest for it, which it is measured against."""


def product_effectiveness(record: Record) -> tuple[OfProduct, ...]:
    """Effectiveness of the line by product, in the order in which they were first made.

    Every sum in ns adds up to that of the line exactly, and so do the reams.
    """
    scenario = record.scenario
    made_of, names = products(scenario), product_names(scenario)
    together: dict[str, list[Part]] = {}
    for part in record.parts:
        together.setdefault(names[part.order], []).append(part)
    found = []
    for name, parts in together.items():
        station, speed = slowest(scenario, made_of[parts[0].order])
        rows = [_losses(record, part, station) for part in parts]
        made = [(speed, line_pieces(scenario, part, station)) for part in parts]
        good = sum(part.books.reams.good for part in parts)
        found.append(OfProduct(account(name, _added(rows), made), good, station))
    return tuple(found)


def line_effectiveness(record: Record) -> Effectiveness:
    """Effectiveness of the line, against the station that is slowest for what is made.

    The sum over all products: of each no factor passes 100 %, and so none of the line does.
    """
    scenario, made_of = record.scenario, products(record.scenario)
    every = product_effectiveness(record)
    stations = " and ".join(dict.fromkeys(each.station for each in every))
    made = []
    for part in record.parts:
        station, speed = slowest(scenario, made_of[part.order])
        made.append((speed, line_pieces(scenario, part, station)))
    sums = [field.name for field in fields(Effectiveness) if field.name.endswith("_ns")]
    return Effectiveness(
        name=f"line, by its {stations}",
        rated_reams_per_min=_mean_speed(made),
        **{name: sum(getattr(each.effectiveness, name) for each in every) for name in sums},
    )


def station_effectiveness(record: Record) -> tuple[Effectiveness, ...]:
    """Effectiveness of each station at its own rated speed, in the order of the paper.

    The parts that move with the webs are one station here, the sheeter, in the knives' time.
    Where there are several wrappers, or carton packers, each is shown and then all together; what
    each of them spoiled is not known apart, so a single one is judged at the quality of all.
    """
    scenario = record.scenario
    names = [name for name in record.stations if name not in WEB_STATIONS]
    if SHEETER not in names:
        names.insert(0, SHEETER)
    for place, here in several(scenario).items():
        names.insert(1 + max(names.index(name) for name in here), place)
    made_of, found = products(scenario), []
    for name in names:
        rows = [_losses(record, part, name) for part in record.parts]
        made = [
            (
                planned_speeds(scenario, made_of[part.order]).get(name, math.inf),
                station_pieces(scenario, part, name),
            )
            for part in record.parts
        ]
        found.append(account(name, _added(rows), made))
    return tuple(found)


def wrapper_shares(record: Record) -> dict[int, Fraction]:
    """Station number of each wrapper -> its share in the rated speed of all.

    Wrappers that only stand by for the first have no share: their time is not the line's.
    """
    wrappers = record.scenario.wrapper
    numbers = [record.station(wrapper.name) for wrapper in wrappers]
    if record.scenario.divert.rule == "hot_standby":
        return {number: Fraction(number == numbers[0]) for number in numbers}
    rates = {rate.station: rate.rated for rate in station_rates(record.scenario)}
    speeds = [rates[wrapper.name] for wrapper in wrappers]
    if any(math.isinf(speed) for speed in speeds):
        return {number: Fraction(1, len(numbers)) for number in numbers}
    total = sum(Fraction(speed) for speed in speeds)
    return {n: Fraction(speed) / total for n, speed in zip(numbers, speeds, strict=True)}


def shares_of(record: Record, station: str) -> dict[int, Fraction]:
    """Numbers of the stations that are meant -> share of each in the rated speed of all."""
    if station == WRAPPERS:
        return wrapper_shares(record)
    if station == SHEETER:
        return {knives(record): Fraction(1)}
    names = record.scenario.end_places.get(station, (station,))
    ends = record.scenario.end_of_line
    if len(names) == 1:
        return {record.station(names[0]): Fraction(1)}
    speeds = {record.station(name): Fraction(ends[name].pace_reams_per_min) for name in names}
    return {number: speed / sum(speeds.values()) for number, speed in speeds.items()}


def speed_loss_by_web_ns(record: Record) -> int:
    """Reduced speed of the sheeter in ns, found the other way: from the web that passed.

    Time the webs moved, less the time this length takes at rated speed. It must agree with what
    remains in the sheeter's staircase.
    """
    scenario = record.scenario
    left = record.losses[knives(record)][Loss.PRODUCING]
    for part in record.parts:
        speed = planned_speeds(scenario, products(scenario)[part.order])[SHEETER]
        reams = reams_of_web(scenario, part, part.books.web_um * scenario.unwind.webs)
        left -= round(reams * MINUTE / Fraction(speed))
    return left


def relieved(row: list[Any], by_others: Any) -> list[Any]:
    """Losses of a wrapper with others standing by, which produced ``by_others`` while it stood.

    That time is all wrappers' production: it comes off what the first stood for, stops before
    anything else. ns by ``Loss``, or columns of them.
    """
    for loss in (Loss.BREAKDOWN, Loss.SET_UP, Loss.MINOR):
        part = np.minimum(by_others, row[loss])
        row[loss] = row[loss] - part
        row[Loss.PRODUCING] = row[Loss.PRODUCING] + part
        by_others = by_others - part
    return row


def _added(rows: list[tuple[int, ...]]) -> tuple[int, ...]:
    return tuple(sum(column) for column in zip(*rows, strict=True))


def _ratio(part: int, whole: int) -> float:
    return part / whole if whole else 0.0


def _losses(record: Record, part: Part, station: str) -> tuple[int, ...]:
    """The row of a station; for several together, of one that stands for all.

    Weighted by rated speed, so that an hour of all of them is an hour in which they could make
    what they make together. Rounding goes to the time produced; the sum stays exact.
    """
    shares = shares_of(record, station)
    if station != WRAPPERS and len(shares) == 1:
        return part.losses[next(iter(shares))]
    row = [
        round(sum(share * part.losses[number][loss] for number, share in shares.items()))
        for loss in Loss
    ]
    row[Loss.PRODUCING] = part.end_ns - part.start_ns - sum(row) + row[Loss.PRODUCING]
    if station == WRAPPERS and record.scenario.divert.rule == "hot_standby":
        others = [number for number, share in shares.items() if not share]
        row = relieved(row, sum(part.losses[number][Loss.PRODUCING] for number in others))
    return tuple(int(ns) for ns in row)
