"""Unwinding: reels on stands, and the three ways in which an emptied one is replaced.

Places on the webs are as in ``stand``: the length ``x`` (um) that has passed the knives.
"""

from __future__ import annotations

from collections.abc import Callable

from linesim.line.clock import NEVER
from linesim.line.crew import Job
from linesim.line.floor import Floor
from linesim.line.goods import Goods
from linesim.line.motion import UM_PER_NS, run_down_length
from linesim.line.reel import Reel
from linesim.line.reel_stop import ReelStop
from linesim.line.stand import Stand
from linesim.record.states import Kind
from linesim.record.supplies import ReelMove


class Unwind:
    """All stands. The webs tell it how far they have run and ask what comes next."""

    def __init__(
        self,
        floor: Floor,
        goods: Goods,
        *,
        begin_stop: Callable[[ReelStop], None],
        end_stop: Callable[[ReelStop], None],
        spliced: Callable[[Stand], bool],
        position: Callable[[], int],
        standing: Callable[[], bool],
    ) -> None:
        table = floor.scenario.unwind
        self.floor = floor
        self.goods = goods
        self.paired = table.stands_per_web == 2
        self.flying = table.change == "flying_splice"
        self.path_um = round(floor.scenario.web_path.path_length_m * 1e6)
        self.cause = floor.ledger.cause("splice" if self.paired else "reel change", Kind.SET_UP)
        self.stop: ReelStop | None = None
        self._begin_stop = begin_stop
        self._end_stop = end_stop
        self._spliced = spliced
        self._position = position
        self._standing = standing
        self._prepared: Callable[[], None] = lambda: None
        self.moves: list[ReelMove] = []
        """Reels from and to the store; kept where there are orders."""
        self.butt_um = round(table.butt_length_m * 1e6)
        self.together_um = round(table.change_together_below_m * 1e6)
        """A reel with less than this left is replaced in the same standstill as another."""
        self.reserve_um = 0
        self.slow_um = 0
        self.new_goods(goods)
        self.stands = [Stand(self, web) for web in range(table.webs)]
        self._fill_stands()

    def note_reel(self, length_um: int, *, back: bool) -> None:
        """A reel leaves the store, or a part reel goes back to it."""
        if self.floor.scenario.order:
            goods = self._on_stands if back else self.goods
            self.moves.append(
                ReelMove(
                    self.floor.now,
                    back,
                    goods.web_width_um,
                    goods.thickness_um,
                    goods.grammage_mg_per_m2,
                    length_um,
                )
            )

    def new_goods(self, goods: Goods) -> None:
        """Another order: speed and thickness may differ."""
        self._on_stands = self.goods
        self.goods = goods
        table, loss = self.floor.scenario.unwind, self.floor.scenario.cutter
        down = loss.run_down_m_per_min_per_s * UM_PER_NS / 1e9
        self.reserve_um = self.butt_um + run_down_length(goods.speed, 0.0, down)
        splice_speed = table.splice_speed_m_per_min * UM_PER_NS
        # A metre before it must be made, the webs have the speed for a flying splice.
        self.slow_um = run_down_length(goods.speed, splice_speed, down) + 1_000_000

    def _fill_stands(self) -> None:
        floor = self.floor
        scenario = floor.scenario
        pattern = scenario.reels.at_start
        if pattern is None:
            pattern = "fresh" if scenario.start.state == "new" else "random"
        for stand in self.stands:
            part = self._part(stand, "random" if floor.run_in_ns else pattern)
            reel = self._first_reel(stand, part)
            stand.mount(reel, 0)
            floor.books.paper.at_start += reel.length_um + self.path_um
            if self.paired:
                stand.partner = stand.fetch()
                floor.books.paper.at_start += stand.partner.length_um

    def _part(self, stand: Stand, pattern: str) -> float:
        """How much of its first reel a web has left."""
        if pattern == "staggered":
            return (stand.web + 1) / len(self.stands)
        if pattern == "random":
            return float(self.floor.chance.bits("unwind", stand.web, "at start").random())
        return 1.0

    def _first_reel(self, stand: Stand, part: float) -> Reel:
        reel = stand.fetch()
        least = min(self.reserve_um + 1, reel.length_um)
        return reel.without(reel.length_um - max(int(reel.length_um * part), least))

    def begin_to_count(self, x: int) -> None:
        """Counting begins: where the scenario says a pattern of reels, they have it now.

        A web whose reel is being changed, or that is torn, is left as it is.
        """
        for stand in self.stands:
            changed = self.stop is not None and stand in self.stop.stands
            part = self.part_said(stand)
            if part > 0 and stand.threaded and not changed:
                stand.mount(self._first_reel(stand, part), x)

    def part_said(self, stand: Stand) -> float:
        """How much of a reel a web has left when counting begins; 0: as the run-in leaves it."""
        pattern = self.floor.scenario.reels.at_start
        return self._part(stand, pattern) if pattern in ("fresh", "staggered") else 0.0

    def next_x(self, x: int) -> int:
        """The nearest place from ``x`` on where a reel wants attention or a joint leaves it."""
        nearest = NEVER
        for stand in self.stands:
            if self.stop is None or stand not in self.stop.stands:
                nearest = min(nearest, self._attention_x(stand, x))
            if stand.joints_x:
                nearest = min(nearest, stand.joints_x[0])
        return max(nearest, x)

    def _attention_x(self, stand: Stand, x: int) -> int:
        if not self._can_fly(stand):
            return stand.stop_x
        if not stand.splice_wanted:
            return stand.splice_x - self.slow_um
        return max(stand.splice_x, x + 1)

    def _can_fly(self, stand: Stand) -> bool:
        return self.flying and stand.partner is not None

    def reached(self, x: int) -> None:
        """The webs have run to ``x``: see to every reel that is due.

        A flying splice needs a prepared partner, and no paper to stop in; without a partner the
        webs run on, and stop for the reel at the last moment. Standing webs that have lost the
        paper meant for the core are spliced as they stand.
        """
        for stand in self.stands:
            if self.stop is not None and stand in self.stop.stands:
                continue
            if not self._can_fly(stand):
                if x >= stand.stop_x:
                    self.must_change(stand)
                continue
            if x >= stand.splice_x - self.slow_um:
                stand.splice_wanted = True
            if x >= stand.splice_x and self._standing():
                self.must_change(stand)

    def must_change(self, stand: Stand) -> None:
        """The line has to stop for this reel."""
        if self.stop is None:
            self.floor.ledger.count_stop(0, self.cause)
            stop = self.stop = ReelStop(self)
            stop.add(stand)
            self._begin_stop(stop)
        else:
            self.stop.add(stand)

    def changed_together(self, first: list[Stand]) -> list[Stand]:
        """Other reels with so little left that they are replaced in the same stop."""
        x = self._position()
        return [
            stand
            for stand in self.stands
            if stand not in first
            and stand.left(x) < self.together_um
            and (not self.paired or stand.partner is not None)
        ]

    def replaced(self, stand: Stand) -> None:
        """The web runs from its new reel; what was left on the old core is a butt."""
        x = self._position()
        self.floor.books.paper.butts += stand.left(x)
        goods = self.goods
        self.floor.books.use("butts", stand.left(x), goods.web_width_um, goods.grammage_mg_per_m2)
        if self.paired:
            assert stand.partner is not None
            reel, stand.partner = stand.partner, None
        else:
            reel = stand.fetch()
            self.floor.books.paper.loaded += reel.length_um
        joined = stand.threaded
        stand.mount(reel, x)
        breaks = joined and self._spliced(stand)
        if self.paired and not breaks:
            self._prepare(stand)

    def prepare_after_break(self) -> None:
        """A web is broken: stands emptied by a splice that has not held are prepared, too.

        Until now nobody was sent there: the broken web comes first.
        """
        for stand in self.stands:
            if self.paired and stand.partner is None and stand.preparing is None:
                self._prepare(stand)

    def hurry(self, stand: Stand) -> None:
        """The webs stand until this stand is prepared."""
        if stand.preparing is None:
            self._prepare(stand)
        if stand.preparing is not None:
            crew = self.floor.crew
            crew.hurry(stand.preparing, self.floor.scenario.crew.priority_standing_line)

    def stop_over(self, stop: ReelStop) -> None:
        """Every reel of this stop is replaced."""
        self.stop = None
        self.reached(self._position())  # a fresh reel may have lost its paper meanwhile
        self._end_stop(stop)

    def returned_to_store(self, x: int) -> None:
        """A change of grade: what is on the stands goes back, fresh reels of the new grade come."""
        book = self.floor.books.paper
        for stand in self.stands:
            book.returned += stand.left(x)
            self.note_reel(stand.left(x), back=True)
            if stand.partner is not None:
                book.returned += stand.partner.length_um
                self.note_reel(stand.partner.length_um, back=True)
                stand.partner = stand.fetch()
                book.loaded += stand.partner.length_um
            reel = stand.fetch()
            book.loaded += reel.length_um
            stand.threaded = False
            stand.mount(reel, x)

    def _prepare(self, stand: Stand) -> None:
        floor, table = self.floor, self.floor.scenario.unwind

        def done() -> None:
            floor.settle()
            stand.preparing = None
            stand.partner = stand.fetch()
            floor.books.paper.loaded += stand.partner.length_um
            if self.stop is not None:
                self.stop.partner_ready(stand)
            self._prepared()
            floor.show()

        priority, length = floor.scenario.crew.priority_prepare, stand.prepare_ns()
        stand.preparing = Job(table.prepare_people, priority, length, stands=False, done=done)
        floor.crew.ask(stand.preparing)

    def on_prepared(self, prepared: Callable[[], None]) -> None:
        """Whom to tell when a stand has been prepared."""
        self._prepared = prepared

    def on_stands(self, x: int) -> int:
        """Paper on all stands and threaded through the machine."""
        total = 0
        for stand in self.stands:
            total += stand.left(x) + (self.path_um if stand.threaded else 0)
            if stand.partner is not None:
                total += stand.partner.length_um
        return total
