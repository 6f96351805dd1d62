"""The whole line, put together from a scenario and its luck."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.line import told
from linesim.line.accounts import CauseNames, new_accounts
from linesim.line.books import new_page, turn_page
from linesim.line.bridge import new_bridge, new_levels, watch_running
from linesim.line.calendar import at_once, await_pause, new_calendar
from linesim.line.cartons import new_cartons
from linesim.line.causes import watch_clock
from linesim.line.chance import Chance
from linesim.line.clock import FORCED, RANK_FORCED, Alarm, Alarms, set_alarm
from linesim.line.counting import begin_counting, run_in_ns
from linesim.line.crew import await_relief, new_crew
from linesim.line.end_of_line import feed, new_end_station
from linesim.line.events import show
from linesim.line.from_state import OTHER, lay_out, left_to_chance, stop_as_told
from linesim.line.history import new_history
from linesim.line.interpreted import Helper
from linesim.line.line import Forced, Line, Site, station_names
from linesim.line.machine import Machine, look_for_dues, new_stoppages
from linesim.line.orders import LATE_CAUSES, begin_orders, new_orders
from linesim.line.packing import new_packing
from linesim.line.pallets import await_truck, new_pallets
from linesim.line.reel_truck import order_reels
from linesim.line.rework import new_rework
from linesim.line.spares import hand_out
from linesim.line.stand import part_at_start
from linesim.line.transfer import new_transfer
from linesim.line.typed import Row
from linesim.line.unwind import fill_stands
from linesim.line.webs import aim_webs, new_webs
from linesim.line.wrapper import new_wrapper, note_roll
from linesim.record.states import Kind
from linesim.scenario import ForcedStop, Scenario
from linesim.scenario.goods import goods_of
from linesim.scenario.shifts import crews_after_run_in, pauses_after_run_in
from linesim.scenario.state_tables import LineState, calendar_ns
from linesim.scenario.units import HOUR, MINUTE


def site_of(scenario: Scenario, chance: Chance, state: LineState | None = None) -> Site:
    """Where a line is put up: from a state there is no run-in, its moment is the first."""
    if state is not None:
        scenario = left_to_chance(scenario)
    goods = [goods_of(scenario, order) for order in scenario.order] or [goods_of(scenario)]
    stations = station_names(scenario)
    site = Site(scenario, chance, CauseNames(), goods, stations, run_in_ns(scenario), state)
    site.zero_ns = site.run_in_ns
    if state is not None:
        site.run_in_ns = 0
        site.zero_ns = -calendar_ns(state, scenario.calendar.start)
    return site


def assemble(
    site: Site, *, end_ns: int, keeps: bool, forced: Sequence[ForcedStop], buckets: int = 0
) -> Line:
    """A line before its first moment. ``end_ns``: of the run, its run-in included.

    Raises ``ValueError`` for a forced stop at no known station.
    """
    scenario = site.scenario
    # Each cause but once, and besides: what was asked for, pauses, a roll or a break of every web.
    found = pauses_after_run_in(scenario, end_ns, site.zero_ns)
    reliefs = crews_after_run_in(scenario, end_ns, site.zero_ns)
    site.more_stops = len(forced) + at_once(found) + scenario.unwind.webs
    if site.state is not None:
        site.more_stops += len(site.state.down)
    webs, bridge, transfer = new_webs(site), new_bridge(site), new_transfer(site)
    wrappers = [new_wrapper(site, which) for which in range(len(scenario.wrapper))]
    ends = [new_end_station(site, name) for name in scenario.end_of_line]
    cartons = [new_cartons(site, which) for which in range(len(scenario.carton_packer))]
    pallets = new_pallets(site)
    machines: list[Machine] = [transfer, bridge, *wrappers, *ends]
    levels, rework, orders = new_levels(site), new_rework(site), new_orders(site)
    forcing = _forced_stops(site, forced)
    if site.state is not None:
        site.causes.number(OTHER, Kind.STOP)

    late = list(LATE_CAUSES)
    late += [(name, Kind.CALENDAR) for name in dict.fromkeys(pause.name for pause in found)]
    places = {name: place for place, (name, _) in enumerate(late) if place >= len(LATE_CAUSES)}
    calendar = new_calendar(found, places, len(machines))
    causes = site.stop_causes
    stoppages = new_stoppages(len(causes) + (1 + len(machines)) * site.more_stops)
    most_jobs = len(stoppages.all) + 2 * scenario.unwind.webs + scenario.rework.places
    most_jobs += 2 + max(1, len(cartons)) + len(webs.unwind.spares)
    most_jobs += len(webs.unwind.trucks.all)
    most_alarms = most_jobs + len(causes) + len(forcing) + len(calendar.now) + 16
    # One for each product, and one for each beginning: of the run, and of counting.
    most_pages = 3 + sum(not order.same_as_last for order in orders.all[1:])
    sizes = len(wrappers), len(ends), len(site.stations)
    pages = [new_page(*sizes) for _ in range(most_pages)]
    goods = Row("products", len(site.goods), site.goods)
    accounts = new_accounts(
        site.stations, site.causes, late, round(scenario.line.minor_stop_minutes * MINUTE)
    )
    line = Line(
        now_ns=0,
        given_up=0,
        fault=0,
        helper_at=0,
        helper=_nobody_helps,
        keeps=keeps,
        has_orders=bool(scenario.order),
        products=goods,
        product=0,
        goods=goods[0],
        alarms=Alarms(Row("alarms", most_alarms)),
        crew=new_crew(site, most_jobs, reliefs),
        stoppages=stoppages,
        webs=webs,
        transfer=transfer,
        bridge=bridge,
        levels=levels,
        packing=new_packing(site, wrappers),
        wrappers=Row("wrappers", len(wrappers), wrappers),
        end_of_line=Row("stations behind the wrappers", len(ends), ends),
        cartons=Row("carton packers", len(cartons), cartons),
        pallets=pallets,
        rework=rework,
        orders=orders,
        calendar=calendar,
        forced=Row("forced stops", len(forcing), forcing),
        causes=Row("stop causes", len(causes), causes),
        machines=Row("machines", len(machines), machines),
        accounts=accounts,
        history=new_history(keeps, bool(scenario.order)),
        pages=Row("pages", most_pages, pages),
        first_page=1,
        page=0,
        book=pages[0],
        buckets=Row("parts of the counted time", buckets, [0] * buckets),
        buckets_from_ns=0,
        bucket_ns=1,
    )
    feed(line)
    line.helper = Helper(site, line)
    _begin(line, site)
    return line


def _nobody_helps(what: int, number: int) -> None:
    raise AssertionError("nobody helps a line that is not put together")


def _forced_stops(site: Site, forced: Sequence[ForcedStop]) -> list[Forced]:
    made: list[Forced] = []
    for stop in forced:
        cause = site.causes.number(stop.cause, Kind.STOP)
        length = round(stop.minutes * MINUTE)
        at = site.zero_ns + round(stop.at_h * HOUR)
        called = site.scenario.stations_called(stop.station)
        targets = [i for i, name in enumerate(site.stations) if name in called]
        if not targets:
            names = ", ".join(site.stations)
            raise ValueError(f"no station called {stop.station!r}; there are {names}")
        for target in targets:
            alarm = Alarm(RANK_FORCED, FORCED, len(made))
            made.append(Forced(alarm, at, target, cause, length))
    return made


def _begin(line: Line, site: Site) -> None:
    """The moment before the first: alarms are set, reels put on, the webs gain speed."""
    for cause in line.causes:
        watch_clock(line, cause)
    for machine in line.machines:
        look_for_dues(line, machine)
    watch_running(line)
    if site.state is None:
        for stand in line.webs.unwind.stands:
            fill_stands(line, stand, part_at_start(site, stand.web))
    else:
        lay_out(line, site, site.state)
    hand_out(line)
    order_reels(line)
    for wrapper in line.wrappers:
        note_roll(line, wrapper)
    await_truck(line)
    await_relief(line)
    await_pause(line)
    for each in line.forced:
        set_alarm(line, each.alarm, each.at_ns)
    turn_page(line)
    if line.has_orders:
        begin_orders(line)
    if site.state is not None:
        stop_as_told(line, site, site.state)
    aim_webs(line)
    show(line)
    if site.state is not None:
        told.move_on(line)
        told.plan_packing(line)
        begin_counting(line)
