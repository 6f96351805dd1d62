"""Cutting: from paper at the knives to full sets in the pockets, and the books of both.

A cut is one stroke of the knives across all webs. Cuts are numbered; where the count was last
begun afresh (the beginning of a run, a break, other goods) stands in ``begun_x``.
"""

from __future__ import annotations

from linesim.line.floor import Floor
from linesim.line.gate import Gate
from linesim.line.goods import Goods
from linesim.line.pockets import Pockets


class Cutting:
    """Cutter, gate, overlap belt and pockets of one run."""

    def __init__(self, floor: Floor, goods: Goods) -> None:
        scenario, chance = floor.scenario, floor.chance
        self._floor = floor
        self.goods = goods
        self._webs = scenario.unwind.webs
        self.cuts = 0
        """Cuts made."""
        self.reams = 0
        """Reams in all sets that were full."""
        self.begun_x, self.begun_number = 0, 0
        self.fine_cuts, self.bad_cuts, self.sets_to_book = 0, 0, 0
        sheets_per_cut = self._webs * goods.lanes
        self.gate = Gate(
            chance.gaps(
                min(1.0, scenario.gate.defects_per_million_sheets * sheets_per_cut / 1e6),
                "gate",
                "defect",
            ),
            scenario.gate.cuts_per_defect,
        )
        self.pockets = Pockets(scenario.overlap_belt.hold_cuts, scenario.pockets.interim_fingers)

    def run_to(self, x: int) -> None:
        """The webs have run to ``x``: the cuts made meanwhile pass the gate."""
        number = self.begun_number + (x - self.begun_x) // self.goods.cut_um
        if number > self.cuts:
            self.cut_to(number)

    def cut_to(self, number: int) -> None:
        """So many cuts are made."""
        made, self.cuts = self.cuts, number
        good = self.gate.pass_cuts(made, number)
        no_room = self.pockets.take(good)
        if no_room:
            self.gate.rejected["no_room"] = self.gate.rejected.get("no_room", 0) + no_room
        fine = good - no_room
        self.fine_cuts += fine
        self.bad_cuts += number - made - fine

    def x_of(self, number: int) -> int:
        """Where the webs are when so many cuts are made, um."""
        return self.begun_x + (number - self.begun_number) * self.goods.cut_um

    def x_with_good(self, good: int) -> int:
        """Where the webs are when ``good`` more cuts have passed the gate, um."""
        return self.x_of(self.gate.cut_with_good(self.cuts, good))

    def next_full_set(self) -> tuple[int, int]:
        """Number of cuts made when empty pockets are full, and where the webs are then, um."""
        goods = self.goods
        number = self.gate.cut_with_good(self.cuts, goods.cuts_per_ream)
        return number, self.begun_x + (number - self.begun_number) * goods.cut_um

    @property
    def set_is_full(self) -> bool:
        """True where the sheets of a whole set lie in the pockets and nobody has said so yet."""
        return self.pockets.cuts >= self.goods.cuts_per_ream and not self.pockets.full

    def count_set(self) -> None:
        """A set is full."""
        self.reams += self.goods.lanes
        self.sets_to_book += 1

    def lift_set(self) -> None:
        """A full set is lifted out at once; fingers catch the next sheets."""
        self.reams += self.goods.lanes
        self.sets_to_book += 1
        self.pockets.cuts = 0

    def reject_around(self, x: int, count: int, reason: str) -> None:
        """``count`` cuts around the place ``x`` on the webs leave at the gate."""
        number = self.begun_number + (x - self.begun_x) // self.goods.cut_um
        self.gate.reject(max(self.cuts, number - count // 2), count, reason)

    def partial_um(self, x: int) -> int:
        """Paper of one web beyond the last cut, when the webs are at ``x``."""
        return (x - self.begun_x) - (self.cuts - self.begun_number) * self.goods.cut_um

    def drop_partial(self, x: int, what: str) -> None:
        """The cut begun is lost, ``broken`` or ``spoiled``; the next one starts from here."""
        lost = self.partial_um(x) * self._webs
        book = self._floor.books.paper
        if what == "broken":
            book.broken += lost
        else:
            book.spoiled += lost
        self.use(what, lost)
        self.begun_x, self.begun_number = x, self.cuts

    def clear_pockets(self) -> None:
        """Unfinished reams and what lies on the belt are thrown out."""
        lost = self.pockets.clear()
        self._floor.books.sheets.spoiled += lost * self._webs * self.goods.lanes

    def use(self, what: str, length: int) -> None:
        """Enter what became of a length of web, um, all webs together."""
        goods = self.goods
        self._floor.books.use(what, length, goods.web_width_um, goods.grammage_mg_per_m2)

    def book(self) -> None:
        """Enter the cuts and sets made since the last time into the books."""
        goods, book, m = self.goods, self._floor.books, self._webs
        length, grammage = goods.cut_um * m, goods.grammage_mg_per_m2
        fine, bad = self.fine_cuts, self.bad_cuts
        sets, self.sets_to_book = self.sets_to_book, 0
        book.sheets.in_reams += sets * goods.cuts_per_ream * m * goods.lanes
        book.sheets.given_away += sets * goods.extra_sheets * goods.lanes
        book.reams.made += sets * goods.lanes
        self.fine_cuts = self.bad_cuts = 0
        book.cuts += fine + bad
        book.paper.to_pockets += fine * length
        book.sheets.to_pockets += fine * m * goods.lanes
        width = goods.lanes * goods.sheet_width_um
        book.use("to_pockets", fine * length, width, grammage)
        book.use("rejected", bad * length, width, grammage)
        book.use("edge_trim", (fine + bad) * length, goods.trim_um, grammage)
        for reason, count in sorted(self.gate.rejected.items()):
            book.paper.rejected[reason] = book.paper.rejected.get(reason, 0) + count * length
        self.gate.rejected.clear()
