"""Effectiveness of the line and of each station, and the six big losses.

Factors by ISO 22400-2: availability = actual production time / planned busy time, performance
(there: effectiveness) = planned run time per item x produced quantity / actual production time,
quality = good quantity / produced quantity, OEE = their product. The six big losses are those of
Nakajima, *Introduction to TPM*, 1988. They, the good output and the work still on the line add up
to the planned busy time to the nanosecond: what remains after everything that is counted is
reduced speed.

The line is measured at its output, against the rated speed of its slowest-rated station, in that
station's time. What is produced there is:

- at the sheeter: good reams, lost reams, and cuts rejected at the gate and sheets cleared out of
  pockets, as reams;
- at the transfer: good and lost reams;
- at the wrappers: good reams and those repulped (what never reached a wrapper took none of its
  time; paper rejected before is in the waste, not in this figure);
- at the outfeed: good reams.

Work still on the line took time but is neither good nor lost yet: it is not counted as produced,
lowers the performance, and is a step of its own. It is negative where the line delivered more
than entered it in the counted time.

With orders of several sizes the planned run time per ream is the mean over the orders' reams.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from linesim.record.accounts import knives
from linesim.record.capacity import SHEETER, WRAPPERS, StationRate, line_rates, station_rates
from linesim.record.pieces import (
    Pieces,
    line_pieces,
    reams_of_web,
    sheeter_pieces,
    station_pieces,
    wrapper_pieces,
)
from linesim.record.record import NS_PER_H, Record
from linesim.record.states import Loss
from linesim.scenario import WEB_STATIONS

_NS_PER_MIN = NS_PER_H // 60


@dataclass(frozen=True)
class Effectiveness:
    """Where the time of the line or a station went, in ns; every sum is exact.

    ``rated_reams_per_min`` is infinite for a station that sets no pace of its own (the bridge):
    then nothing is booked as speed or rejects, and ``performance`` and what follows are None.
    """

    name: str
    rated_reams_per_min: float
    pieces: Pieces | None
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
    def planned_busy_ns(self) -> int:
        """Time in which the station was meant to work: all time but planned stops."""
        return self.total_ns - self.planned_stop_ns

    @property
    def production_ns(self) -> int:
        """Actual production time: planned busy time less all standing."""
        return self.planned_busy_ns - self.breakdown_ns - self.set_up_ns - self.minor_ns

    @property
    def availability(self) -> float:
        """Actual production time / planned busy time; 0 where no work was planned."""
        return _ratio(self.production_ns, self.planned_busy_ns)

    @property
    def performance(self) -> float | None:
        """Planned run time of what was produced / actual production time."""
        if self.pieces is None:
            return None
        return _ratio(self.good_ns + self.start_up_ns + self.process_ns, self.production_ns)

    @property
    def quality(self) -> float | None:
        """Good / produced; 1 where nothing was produced, since nothing was bad."""
        if self.pieces is None:
            return None
        if self.pieces.produced == 0:
            return 1.0
        return float(self.pieces.good / self.pieces.produced)

    @property
    def oee(self) -> float | None:
        """Availability x performance x quality."""
        if self.performance is None or self.quality is None:
            return None
        return self.availability * self.performance * self.quality

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
    name: str, rated_reams_per_min: float, losses: tuple[int, ...], pieces: Pieces | None
) -> Effectiveness:
    """Effectiveness from a row of ns by ``Loss`` and what was made meanwhile.

    Raises ``ValueError`` for a rated speed that is not above 0.

    >>> row = [0] * len(Loss)
    >>> row[Loss.PRODUCING], row[Loss.BREAKDOWN] = 400 * 60 * 10**9, 60 * 60 * 10**9
    >>> made = Pieces(Fraction(392), Fraction(0), Fraction(8), Fraction(0))
    >>> day = account("press", 2.0, tuple(row), made)
    >>> round(day.availability, 2), day.performance, day.quality, round(day.oee, 3)
    (0.87, 0.5, 0.98, 0.426)
    """
    if not rated_reams_per_min > 0:
        raise ValueError(f"rated_reams_per_min is {rated_reams_per_min}; it must be above 0")
    if pieces is None or math.isinf(rated_reams_per_min):
        pieces = None
        start_up = process = unfinished = 0
        good = losses[Loss.PRODUCING]
        speed = 0
    else:
        each = _NS_PER_MIN / Fraction(rated_reams_per_min)
        good = round(pieces.good * each)
        start_up = round(pieces.start_up_rejects * each)
        process = round(pieces.process_rejects * each)
        unfinished = round(pieces.on_the_line * each)
        speed = losses[Loss.PRODUCING] - good - start_up - process - unfinished
    return Effectiveness(
        name,
        rated_reams_per_min,
        pieces,
        sum(losses),
        losses[Loss.PLANNED],
        losses[Loss.BREAKDOWN],
        losses[Loss.SET_UP],
        losses[Loss.MINOR],
        speed,
        start_up,
        process,
        unfinished,
        good,
    )


def line_effectiveness(record: Record) -> Effectiveness:
    """Effectiveness of the line, at its output against its slowest-rated station."""
    rate = min(line_rates(record.scenario), key=lambda each: each.rated)
    pieces = line_pieces(record, rate.station)
    return account(f"line, by its {rate.station}", rate.rated, _losses(record, rate), pieces)


def station_effectiveness(record: Record) -> tuple[Effectiveness, ...]:
    """Effectiveness of each station at its own rated speed, in the order of the paper.

    The parts that move with the webs are one station here, the sheeter, in the knives' time.
    Where there are several wrappers, each is shown and then all together; what each of them
    spoiled is not known apart, so a single one is judged at the quality of all.
    """
    rates = {rate.station: rate for rate in station_rates(record.scenario)}
    found = []
    if SHEETER not in record.stations:
        row = record.losses[knives(record)]
        found.append(account(SHEETER, rates[SHEETER].rated, row, sheeter_pieces(record)))
    for number, name in enumerate(record.stations):
        if name in WEB_STATIONS:
            continue
        rate = rates.get(name)
        row = record.losses[number]
        if rate is None:
            found.append(account(name, math.inf, row, None))
        else:
            found.append(account(name, rate.rated, row, station_pieces(record, name)))
    if len(record.scenario.wrapper) > 1:
        together = next(r for r in line_rates(record.scenario) if r.station == WRAPPERS)
        names = [each.name for each in found]
        place = 1 + max(names.index(w.name) for w in record.scenario.wrapper)
        row = _losses(record, together)
        found.insert(place, account(WRAPPERS, together.rated, row, wrapper_pieces(record)))
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


def speed_loss_by_web_ns(record: Record) -> int | None:
    """Reduced speed of the sheeter in ns, found the other way: from the web that passed.

    Time the webs moved, less the time this length takes at rated speed. It must agree with what
    remains in the sheeter's staircase. None with orders, whose rated speeds differ.
    """
    if record.scenario.order:
        return None
    rate = next(r for r in station_rates(record.scenario) if r.station == SHEETER)
    moved = record.losses[knives(record)][Loss.PRODUCING]
    reams = reams_of_web(record, record.books.web_um * record.scenario.unwind.webs)
    return moved - round(reams * _NS_PER_MIN / Fraction(rate.rated))


def _ratio(part: int, whole: int) -> float:
    return part / whole if whole else 0.0


def _losses(record: Record, rate: StationRate) -> tuple[int, ...]:
    """The row of a station; for the wrappers together, of a wrapper that stands for all.

    Weighted by rated speed, so that an hour of all of them is an hour in which they could make
    what they make together. Rounding goes to the time produced; the sum stays exact.
    """
    if rate.station == SHEETER:
        return record.losses[knives(record)]
    if rate.station != WRAPPERS:
        return record.losses[record.station(rate.station)]
    shares = wrapper_shares(record)
    row = [
        round(sum(share * record.losses[number][loss] for number, share in shares.items()))
        for loss in Loss
    ]
    row[Loss.PRODUCING] = record.end_ns - record.start_ns - sum(row) + row[Loss.PRODUCING]
    return tuple(row)
