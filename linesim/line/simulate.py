"""One run of a line: a scenario and a seed in, a record out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from copy import deepcopy
from typing import Protocol

import numpy as np

from linesim.line.accounts import LOSSES, names_of, sums_of
from linesim.line.assembly import assemble, site_of
from linesim.line.books import REASONS, USES, Page
from linesim.line.chance import Chance
from linesim.line.counting import begin_as_said, begin_counting, end_counting, said_otherwise
from linesim.line.from_state import making
from linesim.line.interpreted import Interpreted
from linesim.line.line import Line, Site
from linesim.line.state_of import not_told, state_of, with_what_passes
from linesim.record import (
    Books,
    CartonBook,
    History,
    Kind,
    OrderDone,
    Part,
    Record,
    Spans,
    State,
    StopTotal,
)
from linesim.record.record import Column
from linesim.record.supplies import ReelMove, RollPutOn, Supplies
from linesim.scenario import ForcedStop, Scenario
from linesim.scenario.goods import Goods
from linesim.scenario.state_tables import LineState
from linesim.scenario.units import HOUR

_SLICES = 200
"""Pieces of a run of which ``progress`` is told."""


class Run(Protocol):
    """A line under way, whoever runs it."""

    def run_to(self, until_ns: int) -> None:
        """Let everything happen that happens before this moment."""

    def do(self, rule: Callable[[Line], None]) -> None:
        """Have something done at this moment."""

    def fetch(self) -> Line:
        """Of the line as it is now, what a record is made of."""

    def fetch_all(self) -> Line:
        """All of the line as it is now; it cannot be run on."""


def simulate(
    scenario: Scenario,
    *,
    seed: int = 1,
    replication: int = 0,
    hours: float | None = None,
    warm_up_h: float = 0.0,
    history: bool = True,
    forced: Sequence[ForcedStop] = (),
    buckets: int = 0,
    progress: Callable[[float], bool] | None = None,
    run_by: Callable[[Site, Line], Run] = Interpreted,
    state: LineState | None = None,
) -> Record:
    """Run a line for ``hours`` (a shift, unless given) after ``warm_up_h`` that are not counted.

    By Python itself, unless ``run_by`` says otherwise; :func:`linesim.simulate`, which takes the
    same, says what each argument means.

    Raises ``ValueError`` for hours that are not above 0 or a forced stop at no known station, and
    :class:`RunGivenUpError` for a run that needs more room than it was given.
    """
    start, end = span_of(scenario, hours, warm_up_h)
    if state is not None:
        state = as_found(scenario, state, seed, replication, run_by)
    site = site_of(scenario, Chance(seed, replication), state)
    run_in = site.run_in_ns
    line = assemble(site, end_ns=end + run_in, keeps=history, forced=forced, buckets=buckets)
    start, end = start + run_in, end + run_in
    line.buckets_from_ns = start
    line.bucket_ns = max(1, -(-(end - start) // max(1, buckets)))
    run = run_by(site, line)
    if run_in:
        run.run_to(run_in)
        if said_otherwise(scenario):
            run.do(begin_as_said)
    if start:
        run.run_to(start)
        run.do(begin_counting)
        line.history.spans.taken.forget()
    ran_to = _run_in_slices(run, start, end, progress)
    run.do(end_counting)
    return _record_of(site, run.fetch(), seed, replication, start, ran_to)


_BEFORE = 1 << 40
"""Added to the number of a replication: luck of its own for what was before the moment."""


def as_found(
    scenario: Scenario,
    state: LineState,
    seed: int,
    replication: int,
    run_by: Callable[[Site, Line], Run],
) -> LineState:
    """The state with what it does not tell of what passes quickly.

    That is as a line has it which has run for the run-in of the scenario, on luck of its own.
    """
    hours = scenario.start.run_in_h
    if hours <= 0 or not not_told(state, scenario):
        return state
    alone = making(scenario, state)
    met = state_after(
        alone,
        state.moment,
        seed=seed,
        replication=replication + _BEFORE,
        hours=hours,
        run_by=run_by,
    )
    return with_what_passes(state, met)


def state_after(
    scenario: Scenario,
    moment: str,
    *,
    seed: int,
    replication: int,
    hours: float,
    run_by: Callable[[Site, Line], Run],
) -> LineState:
    """The state of a line after ``hours`` of a run, said of the ``moment``."""
    site = site_of(scenario, Chance(seed, replication))
    end = site.run_in_ns + round(hours * HOUR)
    line = assemble(site, end_ns=end, keeps=False, forced=())
    run = run_by(site, line)
    if site.run_in_ns:
        run.run_to(site.run_in_ns)
        if said_otherwise(scenario):
            run.do(begin_as_said)
        run.do(begin_counting)
    run.run_to(end)
    run.do(end_counting)
    return state_of(site, run.fetch_all(), moment)


def span_of(scenario: Scenario, hours: float | None, warm_up_h: float) -> tuple[int, int]:
    """From when to when a run counts, ns; a shift unless ``hours`` are given.

    Raises ``ValueError`` for hours that are not above 0 or a warm-up below 0.
    """
    length = scenario.line.shift_hours if hours is None else hours
    start = round(warm_up_h * HOUR)
    end = start + round(length * HOUR)
    if end <= start or start < 0:
        raise ValueError(
            f"a run of {length} h after {warm_up_h} h: both must not be negative, "
            "and the run longer than 0"
        )
    return start, end


def _run_in_slices(run: Run, start: int, end: int, progress: Callable[[float], bool] | None) -> int:
    """Run from ``start`` to ``end``, ns, telling ``progress`` on the way; how far it came, ns."""
    if progress is None:
        run.run_to(end)
        return end
    for part in range(1, _SLICES + 1):
        until = start + (end - start) * part // _SLICES
        run.run_to(until)
        if not progress(part / _SLICES) and part < _SLICES:
            return until
    return end


def _record_of(site: Site, line: Line, seed: int, replication: int, start: int, end: int) -> Record:
    """The record of a line whose run is over, counted from ``start`` to ``end``, ns.

    Both are of the line's own time; the record's begins when the run-in is over.
    """
    sums, counts = sums_of(line.accounts)
    own = (State.DOWN, State.CHANGEOVER, State.WAITING_PEOPLE, State.WAITING_REEL)
    own_states = frozenset(int(state) for state in own)
    stood: dict[tuple[int, int], int] = {}
    for (station, state, cause, root, _), ns in sums.items():
        # A palletiser whose full pallet finds no place is blocked, and by nobody but itself.
        if state in own_states or (state == State.BLOCKED and root == station):
            stood[station, cause] = stood.get((station, cause), 0) + ns
    books, parts = _books_of(site, line, start)
    last, before = line.pages[line.page], line.pages[line.first_page - 1]
    return Record(
        scenario=site.scenario,
        seed=seed,
        replication=replication,
        start_ns=start - site.zero_ns,
        end_ns=end - site.zero_ns,
        stations=line.accounts.stations,
        causes=tuple(names_of(line.accounts)),
        cause_kinds=tuple(Kind(kind) for kind in line.accounts.kinds),
        sums=sums,
        losses=tuple(tuple(account.losses_ns) for account in line.accounts.of),
        stops=tuple(
            StopTotal(s, c, counts.get((s, c), 0), stood.get((s, c), 0))
            for s, c in sorted(set(stood) | set(counts))
        ),
        books=books,
        wrapped_by=_less(last.wrapped_by, before.wrapped_by),
        good_per_bucket=tuple(line.buckets),
        orders=_orders_of(site, line),
        history=_history_of(site, line, end) if line.keeps else None,
        supplies=_supplies_of(site, line),
        products=parts,
        taken_out=_less(last.taken_out, before.taken_out),
        begun_ns=-site.zero_ns,
    )


def _less(now: Sequence[int], before: Sequence[int]) -> tuple[int, ...]:
    return tuple(a - b for a, b in zip(now, before, strict=True))


# -- books -----------------------------------------------------------------------------------------


def _books_of(site: Site, line: Line, start: int) -> tuple[Books, tuple[Part, ...]]:
    """The books of the run, and with orders what was entered in them product by product."""
    at_start = before = line.pages[line.first_page - 1]
    books, since = Books(), start
    books.paper.at_start = books.paper.at_end = before.paper_um
    books.sheets.at_start = books.sheets.at_end = before.sheets
    books.reams.at_start = books.reams.at_end = before.reams
    if site.scenario.carton_packer:
        books.cartons = CartonBook(at_start=before.behind, at_end=before.behind)
    parts = []
    for page in line.pages[line.first_page : line.page + 1]:
        then = deepcopy(books)
        _enter(books, page, site.goods[page.product], len(line.webs.unwind.stands))
        if books.cartons is not None:
            _enter_cartons(books.cartons, page, at_start, site.scenario)
        books.web_um = page.place_um - at_start.place_um
        if not line.has_orders:
            continue
        losses = _less(page.losses_ns, before.losses_ns)
        parts.append(
            Part(
                page.product,
                since,
                page.closed_ns,
                tuple(losses[n : n + LOSSES] for n in range(0, len(losses), LOSSES)),
                books.since(then),
                _less(page.wrapped_by, before.wrapped_by),
                _less(page.taken_out, before.taken_out),
            )
        )
        before, since = page, page.closed_ns
    return books, tuple(parts)


def _enter(books: Books, page: Page, goods: Goods, webs: int) -> None:
    """Enter a page: ``webs`` webs of what is made."""
    paper, sheets, reams = books.paper, books.sheets, books.reams
    per_cut, grammage = goods.cut_um * webs, goods.grammage_mg_per_m2
    fine, bad, width = page.fine_cuts, page.bad_cuts, goods.lanes * goods.sheet_width_um
    books.cuts += fine + bad
    sheets.in_reams += page.sets * goods.cuts_per_ream * webs * goods.lanes
    sheets.given_away += page.sets * goods.extra_sheets * goods.lanes
    sheets.to_pockets += fine * webs * goods.lanes
    sheets.spoiled += page.sheets_spoiled
    sheets.at_end = page.sheets
    reams.made += page.sets * goods.lanes
    reams.wrapped += page.wrapped
    reams.reworked += page.reworked
    reams.repulped += page.repulped
    reams.set_aside += page.set_aside
    reams.at_end = page.reams
    paper.loaded += page.loaded_um
    paper.to_pockets += fine * per_cut
    for reason, cuts in sorted(zip(REASONS, page.rejected_cuts, strict=True)):
        if cuts:
            paper.rejected[reason] = paper.rejected.get(reason, 0) + cuts * per_cut
    broken, spoiled, butts = page.used_um
    paper.broken += broken
    paper.spoiled += spoiled
    paper.butts += butts
    paper.returned += page.returned_um
    paper.at_end = page.paper_um
    books.use("to_pockets", fine * per_cut, width, grammage)
    books.use("rejected", bad * per_cut, width, grammage)
    books.use("edge_trim", (fine + bad) * per_cut, goods.trim_um, grammage)
    for i, use in enumerate(USES):
        if page.times_used[i]:
            area = page.area_high[i] * 1_000_000_000 + page.area_low[i]
            books.area_um2[use] = books.area_um2.get(use, 0) + area
            books.mass_ug[use] = books.mass_ug.get(use, 0) + page.mass_ug[i]


def _enter_cartons(book: CartonBook, page: Page, at_start: Page, scenario: Scenario) -> None:
    """Enter a page of what comes behind the wrappers."""
    out = dict(zip(scenario.end_of_line, _less(page.taken_out, at_start.taken_out), strict=True))
    book.came += page.wrapped
    book.delivered = sum(out[packer.name] for packer in scenario.carton_packer)
    reams = scenario.end_of_line[scenario.carton_packer[0].name].reams
    book.cartons = book.delivered // reams
    book.cartons_spoiled += page.cartons_spoiled
    book.pallets += page.pallets
    if scenario.palletiser is not None:
        book.delivered = book.pallets * scenario.palletiser.cartons_per_pallet * reams
    book.at_end = page.behind


# -- orders, history -------------------------------------------------------------------------------


def _orders_of(site: Site, line: Line) -> tuple[OrderDone, ...]:
    def moments(*ns: int) -> list[int | None]:
        return [each - site.zero_ns if each >= 0 else None for each in ns]

    return tuple(
        OrderDone(order.name, order.reams, *moments(state.cut_ns, state.wrapped_ns, state.begun_ns))
        for order, state in zip(site.scenario.order, line.orders.all, strict=True)
    )


def _supplies_of(site: Site, line: Line) -> Supplies:
    """Reels and wrapping rolls taken so far; none are noted where there are no orders."""
    history = line.history
    reels = []
    zero = site.zero_ns
    for at, _, back, product, length in _rows(history.store.columns()):
        of = site.goods[product]
        paper = of.web_width_um, of.thickness_um, of.grammage_mg_per_m2
        reels.append(ReelMove(at - zero, bool(back), *paper, length))
    rolls = []
    for at, wrapper, product in sorted(_rows(history.rolls.columns())):
        of = site.goods[product]
        rolls.append(RollPutOn(at - zero, wrapper, of.sheet_width_um, of.cut_um))
    return Supplies(tuple(reels), tuple(rolls))


def _rows(columns: Sequence[np.typing.NDArray[np.int64]]) -> list[tuple[int, ...]]:
    return list(zip(*(column.tolist() for column in columns), strict=True))


def _history_of(site: Site, line: Line, end_ns: int) -> History:
    kept = line.history

    def moments(column: Column) -> Column:
        column -= site.zero_ns  # in place: it may be a year of them
        return column

    station, state, cause, root_station, root_cause, began, ended = kept.spans.columns()
    full, placed, reams = kept.sets.columns()
    taken, wrapped, wrapper = kept.reams.columns()
    motion_ns, motion_um = kept.motion.columns()
    speed, change = kept.speed_columns()
    reel_ns, reel_web, reel_left = kept.reels.columns()
    in_hand = [(each.taken_ns, end_ns + 1, each.which) for each in line.wrappers if each.busy]
    rest = np.array(in_hand, dtype=np.int64).reshape(-1, 3).T
    off, lost, off_wrapper = map(np.append, kept.off.columns(), rest)
    return History(
        spans=Spans(
            station, state, cause, root_station, root_cause, moments(began), moments(ended)
        ),
        set_full_ns=moments(full),
        set_placed_ns=moments(placed),
        set_reams=reams,
        ream_start_ns=moments(taken),
        ream_end_ns=moments(wrapped),
        ream_wrapper=wrapper,
        ream_off_ns=moments(off),
        lost_ns=moments(lost),
        lost_wrapper=off_wrapper.astype(np.int8),
        ream_spoiled_ns=moments(kept.spoiled.columns()[0]),
        ream_saved_ns=moments(kept.saved.columns()[0]),
        speed_ns=moments(motion_ns),
        speed_um=motion_um,
        speed_um_per_ns=speed,
        speed_change_um_per_ns2=change,
        reel_ns=moments(reel_ns),
        reel_web=reel_web,
        reel_left_um=reel_left,
    )
