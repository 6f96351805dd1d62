"""The state of a line under way, said as a state file says it."""

from __future__ import annotations

import datetime as dt
from typing import Any

from linesim.line.clock import NEVER
from linesim.line.crew import Job
from linesim.line.line import Line, Site
from linesim.line.machine import ON_WEBS
from linesim.line.stand import left_um
from linesim.record.states import State
from linesim.scenario import Scenario
from linesim.scenario.state_tables import (
    WEB_BREAK,
    BehindNow,
    BridgeNow,
    DownNow,
    LineState,
    OrderNow,
    ReelNow,
    RollNow,
)
from linesim.scenario.units import SECOND


def not_told(state: LineState, scenario: Scenario) -> tuple[str, ...]:
    """What passes quickly that a state does not tell, by the names of its fields."""
    behind = [name for name, place in _BEHIND.items() if place in scenario.end_places]
    if not _takes_away(scenario):
        behind = [name for name in behind if name != "full_pallets"]
    found = ["bridge.reams"] if state.bridge.reams is None else []
    found += [f"behind.{name}" for name in behind if getattr(state.behind, name) is None]
    if scenario.unwind.stands_per_web == 2:
        told = {reel.web for reel in state.reel if reel.partner_ready is not None}
        if len(told) < scenario.unwind.webs:
            found.append("reel.partner_ready")
    return tuple(found)


_BEHIND = {
    "reams_at_outfeed": "outfeed",
    "reams_at_packer": "carton_packer",
    "cartons_at_palletiser": "palletiser",
    "cartons_on_pallet": "palletiser",
    "full_pallets": "palletiser",
}


def _takes_away(scenario: Scenario) -> bool:
    """Whether full pallets wait for somebody."""
    table = scenario.palletiser
    if table is None:
        return False
    return table.truck_every_min is not None or table.fetch_min is not None


def with_what_passes(state: LineState, met: LineState) -> LineState:
    """The state, and what passes quickly as ``met`` has it where nothing is told."""

    def both(mine: Any, found: Any) -> Any:
        said = mine.model_dump(exclude_none=True)
        return type(mine)(**(found.model_dump(exclude_none=True) | said))

    reels = {reel.web: reel for reel in state.reel}
    found = []
    for reel in met.reel:
        mine = reels.pop(reel.web, ReelNow(web=reel.web))
        if mine.partner_ready is None:
            mine = mine.model_copy(update={"partner_ready": reel.partner_ready})
        found.append(mine)
    return state.model_copy(
        update={
            "bridge": both(state.bridge, met.bridge),
            "behind": both(
                state.behind, met.behind.model_copy(update={"blanks": state.behind.blanks})
            ),
            "reel": tuple(found),
        }
    )


def state_of(site: Site, line: Line, moment: str) -> LineState:
    """All that a state file can say of a line, of the ``moment``.

    The meters of stop causes are not among it: a line knows when a cause falls due, not since when.
    """
    orders = site.scenario.order
    order = None
    if orders:
        now = line.orders
        before = sum(
            orders[i].reams for i in range(now.now) if now.all[i].target and _same(line, i)
        )
        made = max(0, now.good - before)
        order = OrderNow(name=orders[now.now].name, reams_made=min(made, orders[now.now].reams - 1))
    return LineState(
        moment=moment,
        bridge=BridgeNow(reams=line.bridge.level),
        order=order,
        behind=_behind(site, line),
        reel=tuple(_reels(line)),
        roll=tuple(
            RollNow(
                wrapper=site.stations[wrapper.station],
                reams_left=max(1, wrapper.roll_due - wrapper.done),
            )
            for wrapper in line.wrappers
            if wrapper.roll_due < NEVER
        ),
        down=tuple(_down(site, line, dt.datetime.fromisoformat(moment))),
    )


def _same(line: Line, place: int) -> bool:
    """Whether all orders from this one to the one in hand are of one product."""
    return all(line.orders.all[i].same_as_last for i in range(place + 1, line.orders.now + 1))


def _reels(line: Line) -> list[ReelNow]:
    unwind = line.webs.unwind
    return [
        ReelNow(
            web=stand.web + 1,
            left_m=max(0.0, left_um(line, stand) / 1e6),
            **({"partner_ready": stand.partner_there} if unwind.paired else {}),
        )
        for stand in unwind.stands
    ]


def _behind(site: Site, line: Line) -> BehindNow:
    said: dict[str, int] = {}
    fields = {place: field for field, place in reversed(_BEHIND.items())}
    for place, names in site.scenario.end_places.items():
        first = line.end_of_line[list(site.scenario.end_of_line).index(names[0])]
        said[fields[place]] = min(first.waiting, first.room)
    blanks = [each.empty_due - each.closed for each in line.cartons if each.empty_due < NEVER]
    if blanks:
        said["blanks"] = max(0, min(blanks))
    pallets = line.pallets
    if pallets.cartons < NEVER:
        said["cartons_on_pallet"] = min(pallets.on_it, pallets.cartons - 1)
    if pallets.places < NEVER:
        said["full_pallets"] = pallets.full
    return BehindNow(**said)


def _down(site: Site, line: Line, at: dt.datetime) -> list[DownNow]:
    """What people are at, or wait to be at, of what has a law of its own."""
    found, free = [], set(line.stoppages.free)
    stops = {stop.cause: stop for stop in site.scenario.stop}
    for stop in line.stoppages.all:
        if stop.number in free or stop.state == State.PLANNED:
            continue
        name = line.accounts.names[stop.cause]
        said: dict[str, Any] = {}
        cause, _, web = name.partition(" (web ")
        if stop.of >= 0 and cause in stops and not line.causes[stop.of].changing:
            said = {"cause": cause}
            if web:
                said["web"] = int(web.removesuffix(")"))
            if len(site.scenario.stations_called(stops[cause].station)) > 1:
                said["station"] = site.stations[stop.station]
        elif name == WEB_BREAK or (stop.station >= ON_WEBS and name == "wrapping roll"):
            said = {"cause": name}
            if name != WEB_BREAK:
                said["station"] = site.stations[stop.station]
        else:
            continue
        found.append(_since(line, stop.job, stop.restore_ns, at, said))
    unwind = line.webs.unwind
    for stand in unwind.to_replace:
        said = {"cause": line.accounts.names[unwind.change_cause], "web": stand.web + 1}
        found.append(_since(line, stand.replace_job, NEVER, at, said))
    return found


def _since(line: Line, job: Job, in_all_ns: int, at: dt.datetime, said: dict[str, Any]) -> DownNow:
    if job.alarm.at_ns >= NEVER:
        # Its people are elsewhere, or have not come yet; that some of it is done is not told.
        return DownNow(**said, people="awaited")
    in_all = job.left_ns if in_all_ns >= NEVER else in_all_ns
    lasted = max(0, in_all - (job.alarm.at_ns - line.now_ns))
    since = at - dt.timedelta(seconds=round(lasted / SECOND))
    return DownNow(**said, since=f"{since:%Y-%m-%d %H:%M:%S}")
