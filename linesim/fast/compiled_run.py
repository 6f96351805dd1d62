"""One run by the compiled engine, with the same record as ``linesim.line.simulate`` makes."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from linesim.fast import layout
from linesim.fast.feeding import GivenUpError
from linesim.fast.lowering import Lowered
from linesim.fast.machine_code import Told
from linesim.interrupts import interrupt_put_off
from linesim.line.assembly import Line
from linesim.line.chance import Chance
from linesim.line.clock import HOUR
from linesim.line.reel import Reel
from linesim.line.run_in import said_otherwise
from linesim.line.simulate import record_of, run_in_slices, span_of
from linesim.record import Record
from linesim.record.states import Kind
from linesim.scenario import ForcedStop, Scenario

_DAY = 24 * HOUR


class CompiledRun:
    """A line handed over to the compiled engine, and its results handed back to it."""

    def __init__(
        self,
        told: Told,
        line: Line,
        forced: tuple[ForcedStop, ...],
        buckets: int,
        start: int,
        end: int,
    ) -> None:
        self.line = line
        pauses = list(reversed(line.calendar.to_come))
        self.lowered = Lowered(line, forced, pauses)
        self.s = self.lowered.s
        self._told = told
        self._address = self.lowered.array.ctypes.data
        if buckets:
            line.count_buckets(buckets, start, end)
        self._buckets = np.zeros(max(1, buckets), np.int64)
        self.s["buckets_at"] = self._buckets.ctypes.data
        self.s["bucket_count"] = buckets
        self.s["bucket_from"] = line.bucket_from
        self.s["bucket_ns"] = line.bucket_ns

    def _do(self, what: int, until: int = 0) -> None:
        with interrupt_put_off():
            self._told(self._address, what, until)
        if self.lowered.feeds.error is not None:
            raise self.lowered.feeds.error
        fault = int(self.s["fault"])
        if fault:
            raise GivenUpError(layout.FAULTS[fault])

    def run_to(self, until: int) -> None:
        """Run to a moment, ns, hearing an interrupt after every day on the way."""
        for day in range(int(self.s["moment"]) + _DAY, until, _DAY):
            self._do(layout.RUN, day)
        self._do(layout.RUN, until)

    def begin_as_said(self) -> None:
        """The run-in is over: what the scenario says of reels and stop causes becomes true."""
        self._do(layout.BEGIN)

    def forget_warm_up(self) -> None:
        """Counting begins now."""
        self._do(layout.SETTLE)
        self._do(layout.CLOSE)
        self._do(layout.FORGET)
        line, s = self.line, self.s
        self._hand_back_state()
        line.count_from_here()
        if line.outfeed is not None:
            s["o_idle_since"] = max(int(s["o_idle_since"]), int(s["moment"]))
        for name in [
            "wrapped",
            "reworked",
            "repulped",
            "set_aside",
            "broken",
            "spoiled",
            "butts",
            "loaded",
            "sheets_spoiled",
            "w_fine",
            "w_bad",
            "w_sets_to_book",
        ]:
            s[name] = 0
        for name in ("g_rejected", "use_high", "use_low", "use_mass", "use_calls"):
            s[name][:] = 0

    def close(self) -> None:
        """The run is over: accounts and books go back to the line."""
        self._do(layout.SETTLE)
        self._do(layout.CLOSE)
        line, s = self.line, self.s
        self._hand_back_state()
        self._hand_back_accounts()
        books = line.floor.books
        reams, paper = books.reams, books.paper
        reams.wrapped += int(s["wrapped"])
        reams.reworked += int(s["reworked"])
        reams.repulped += int(s["repulped"])
        reams.set_aside += int(s["set_aside"])
        paper.broken += int(s["broken"])
        paper.spoiled += int(s["spoiled"])
        paper.butts += int(s["butts"])
        paper.loaded += int(s["loaded"])
        books.sheets.spoiled += int(s["sheets_spoiled"])
        for i, what in enumerate(layout.USES):
            area = int(s["use_high"][i]) * 1_000_000_000 + int(s["use_low"][i])
            if s["use_calls"][i]:
                books.area_um2[what] = books.area_um2.get(what, 0) + area
                books.mass_ug[what] = books.mass_ug.get(what, 0) + int(s["use_mass"][i])
        line.take_stock()
        if line.buckets:
            line.buckets = [int(n) for n in self._buckets]

    def _hand_back_state(self) -> None:
        """Where webs, reels and reams are, for the line's own arithmetic of books."""
        line, s = self.line, self.s
        w = line.webs
        cutting = w.cutting
        w.motion.x, cutting.cuts = int(s["w_x"]), int(s["w_cuts"])
        cutting.begun_x, cutting.begun_number = int(s["w_cut_x"]), int(s["w_cut_number"])
        cutting.fine_cuts, cutting.bad_cuts = int(s["w_fine"]), int(s["w_bad"])
        cutting.sets_to_book = int(s["w_sets_to_book"])
        rejected = s["g_rejected"]
        cutting.gate.rejected = {
            reason: int(rejected[i]) for i, reason in enumerate(layout.REASONS) if rejected[i]
        }
        w.pockets.cuts, w.pockets.on_belt = int(s["p_cuts"]), int(s["p_on_belt"])
        w.pockets.full = bool(s["p_full"])
        for web, stand in enumerate(w.unwind.stands):
            stand.end_x, stand.threaded = int(s["u_end"][web]), bool(s["u_threaded"][web])
            stand.partner = None
            if s["u_partner"][web]:
                stand.partner = Reel(int(s["u_partner_um"][web]), ())
        line.transfer.carried = int(s["t_carried"])
        line.transfer.set_waits = bool(s["t_set_waits"])
        line.bridge.level = int(s["b_level"])
        line.packing.steps.rework.lying = int(s["r_lying"])
        for i, wrapper in enumerate(line.wrappers):
            wrapper.busy, wrapper.done = bool(s["k_busy"][i]), int(s["k_done"][i])
            wrapper.thrown_away = int(s["k_thrown_away"][i])
        if line.outfeed is not None:
            line.outfeed.done = int(s["o_done"])

    def _hand_back_accounts(self) -> None:
        ledger, s = self.line.ledger, self.s
        names = self.lowered.pause_names
        numbers = sorted((int(s["d_number"][i]), name) for i, name in enumerate(names))
        for number, name in numbers:
            if number >= 0:
                ledger.cause(name, Kind.CALENDAR)
        ledger.sums.clear()
        ledger.stop_count.clear()
        keys, sums = s["l_key"], s["l_sum"]
        for i in keys.nonzero()[0].tolist():
            rest, root_cause = divmod(int(keys[i]) - 2, layout.CAUSE_NUMBERS)
            if root_cause == layout.CAUSE_NUMBERS - 1:  # -1, borrowed from the digit above
                root_cause, rest = -1, rest + 1
            rest, root_station = divmod(rest, layout.ROOT_STATIONS)
            rest, cause = divmod(rest, layout.CAUSE_NUMBERS)
            station, state = divmod(rest, layout.STATE_NUMBERS)
            if state == layout.COUNT_STATE:
                ledger.stop_count[station, cause] = int(sums[i])
            else:
                key = (station, state, cause, root_station - 1, root_cause)
                ledger.sums[key] = int(sums[i])
        ledger.losses = s["l_losses"][: len(ledger.stations)].tolist()


def simulate_compiled(
    told: Told,
    scenario: Scenario,
    *,
    seed: int = 1,
    replication: int = 0,
    hours: float | None = None,
    warm_up_h: float = 0.0,
    forced: Sequence[ForcedStop] = (),
    buckets: int = 0,
    progress: Callable[[float], bool] | None = None,
) -> Record:
    """The record of ``linesim.line.simulate`` with ``history=False``, by compiled code.

    Raises :class:`GivenUpError` where the run needs more room than the engine has. What it does
    not cover at all, :func:`reasons_not_covered` tells beforehand.
    """
    start, end = span_of(scenario, hours, warm_up_h)
    stops = tuple(forced)
    line = Line(scenario, Chance(seed, replication), end_ns=end, keep=False, forced=stops)
    run_in = line.floor.run_in_ns
    start, end = start + run_in, end + run_in
    run = CompiledRun(told, line, stops, buckets, start, end)
    if run_in:
        run.run_to(run_in)
        if said_otherwise(scenario):
            run.begin_as_said()
    if start:
        run.run_to(start)
        run.forget_warm_up()
    ran_to = run_in_slices(run.run_to, start, end, progress)
    run.close()
    return record_of(line, seed, replication, start, ran_to)
