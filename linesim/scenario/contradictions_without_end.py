"""Scenarios that are legal field by field, and whose line never runs or never finishes.

They are named here and not run: a run of them would stand, or take for ever to simulate.
"""

from __future__ import annotations

from collections.abc import Iterator

from linesim import paper
from linesim.scenario.faults import Contradiction, at
from linesim.scenario.goods import sizes_of, web_speed_m_per_min
from linesim.scenario.scenario import Scenario

LONGEST_RUN_H = 200_000.0
_SHORTEST: dict[str, tuple[float, str]] = {
    "every_running_h": (1 / 3600, "a second (0.00028 h)"),
    "every_clock_h": (1 / 3600, "a second (0.00028 h)"),
    "every_web_km": (1e-4, "a tenth of a metre (0.0001 km)"),
    "every_cuts": (1.0, "1 cut"),
    "every_reams": (1.0, "1 ream"),
}
_LONGEST_OVER_THE_BRIDGE_H = 24.0
_TOO_FEW_CUTS = 1e-2
_TOO_FEW_GOOD = 1e-2
_TOO_FEW_RESTARTS = 1e-3
_WEEK_H = 168.0
_MOST_SPANS = 100_000


def _intervals(s: Scenario) -> Iterator[Contradiction]:
    for i, stop in enumerate(s.stop):
        shortest, words = _SHORTEST[stop.meter]
        mean = stop.interval.average()
        if mean < shortest:
            yield Contradiction(
                ("stop", i, stop.meter),
                "the interval is always 0: it would never run"
                if mean <= 0
                else f"the mean interval is less than {words}: it would never run",
                f"a mean interval of at least {words}",
            )
        elif stop.changed_every is not None and stop.changed_every < shortest:
            yield Contradiction(
                ("stop", i, "changed_every"),
                f"a change every {stop.changed_every:g} is oftener than every {words}: it would"
                " never run",
                f"at least {words}",
            )


def _restarts(s: Scenario) -> Iterator[Contradiction]:
    chance, webs = s.web_path.break_chance_at_restart, s.unwind.webs
    if (1 - chance) ** webs < _TOO_FEW_RESTARTS:
        most = 1 - 0.5 ** (1 / webs)
        yield Contradiction(
            ("web_path", "break_chance_at_restart"),
            f"with {webs} webs fewer than one restart in 1,000 goes without a break: the line"
            " never runs",
            f"a small chance; at {most:.2g} every second restart breaks a web",
            at("unwind", "webs"),
        )


def _breaks(s: Scenario) -> Iterator[Contradiction]:
    standing = [(i, rest) for i, rest in enumerate(s.rest) if rest.line == "stands"]
    minutes = sum(rest.minutes for _, rest in standing)
    if minutes >= s.line.shift_hours * 60 * (1 - 1e-9):
        yield Contradiction(
            ("break", standing[-1][0], "minutes"),
            f"breaks take all {s.line.shift_hours:g} h of the shift: the line never runs",
            'shorter breaks, or line = "relieved"',
            at("line", "shift_hours"),
        )


def _planned_work(s: Scenario) -> Iterator[Contradiction]:
    again = [
        (i, work, work.every_h)
        for i, work in enumerate(s.planned_work)
        if work.every_h is not None and work.minutes < work.every_h * 60
    ]
    if sum(work.minutes / 60 / every for _, work, every in again) < 1:
        return
    begins = max(work.start_h for _, work, _ in again)
    if sum(_WEEK_H / every for _, _, every in again) > _MOST_SPANS:
        return
    spans = []
    for _, work, every in again:
        first = work.start_h + (begins - work.start_h) // every * every
        times = int(_WEEK_H / every) + 2
        spans += [(first + n * every, work.minutes / 60) for n in range(times)]
    covered = begins
    for start, hours in sorted(spans):
        if start > covered + 1e-9:
            return
        covered = max(covered, start + hours)
        if covered > begins + _WEEK_H:
            break
    yield Contradiction(
        ("planned_work", again[-1][0], "minutes"),
        f"planned work follows on planned work from {begins:g} h on: the line never runs again",
        "shorter or rarer planned work",
    )


def _orders(s: Scenario) -> Iterator[Contradiction]:
    hours = 0.0
    for i, order in enumerate(s.order):
        sizes = sizes_of(s, order)
        cuts_per_min = web_speed_m_per_min(s, order) * 1000 / sizes.sheet_length_mm
        cuts = paper.cuts_per_ream(s.product.sheets_per_ream, s.unwind.webs).cuts
        hours += order.reams * cuts / sizes.lanes / cuts_per_min / 60
        if hours > LONGEST_RUN_H:
            so_far = f"the orders up to {order.name!r}" if i else f"order {order.name!r}"
            yield Contradiction(
                ("order", i, "reams"),
                f"{so_far} would take {hours:,.0f} h without a stop, longer than any run:"
                " it is never done",
                f"orders of at most {LONGEST_RUN_H:,.0f} h in all",
                (*at("cutter", "web_speed_m_per_min", "max_cuts_per_min"), *at("slitter", "lanes")),
            )
            return


def _spoiled_orders(s: Scenario) -> Iterator[Contradiction]:
    if not s.order or (s.rework.places and s.rework.good_chance > 0):
        return
    good = [1 - wrapper.spoiled_per_10000 / 10_000 for wrapper in s.wrapper]
    if max(good) < _TOO_FEW_GOOD:
        yield Contradiction(
            ("wrapper", good.index(max(good)), "spoiled_per_10000"),
            "fewer than one ream in 100 is good and none is wrapped again: no order is ever done",
            "fewer spoiled wraps (usual: 5 to 50 per 10,000 reams), or a rework table",
            at("rework", "places", "good_chance"),
        )


def _belt(s: Scenario) -> Iterator[Contradiction]:
    hours = s.bridge_travel_min / 60
    if hours > _LONGEST_OVER_THE_BRIDGE_H:
        yield Contradiction(
            ("bridge", "belt_speed_m_per_min"),
            f"a ream takes {hours:,.0f} h over the bridge of {s.bridge_length_m:g} m",
            "0, which means no time, or a speed that brings it over within"
            f" {_LONGEST_OVER_THE_BRIDGE_H:g} h",
            at("bridge", "length_m", "places", "ream_pitch_mm", "tracks"),
        )


def _gate(s: Scenario) -> Iterator[Contradiction]:
    gate, sheets = s.gate, s.unwind.webs * s.slitter.lanes
    defect = min(1.0, gate.defects_per_million_sheets * sheets / 1e6)
    if (1 - defect) ** gate.cuts_per_defect < _TOO_FEW_CUTS:
        yield Contradiction(
            ("gate", "defects_per_million_sheets"),
            f"with {sheets} sheets in a cut and {gate.cuts_per_defect} cuts rejected for a defect"
            " fewer than one cut in 100 passes the gate: hardly a ream is ever full",
            "fewer defects, or fewer cuts_per_defect (usual: 5 to 100 defects per million sheets)",
            (*at("gate", "cuts_per_defect"), ("unwind", "webs"), ("slitter", "lanes")),
        )


CHECKS = (_gate, _belt, _intervals, _restarts, _breaks, _planned_work, _orders, _spoiled_orders)
