"""Cutter, reject gate, overlap belt and pockets of the reference line: cuts, counted."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from tests.reference.luck import Luck
from tests.reference.motion import CLOSE_M, Motion

OF_THE_WEB = ("splice", "joint")
"""What is wrong with paper, and lost with it."""


class Sheets:
    """All webs are cut at once; good cuts fill the pockets, or wait on the belt before them."""

    def __init__(self, scenario: Any, luck: Luck) -> None:
        self.s = scenario
        sheets_per_cut = scenario.unwind.webs * scenario.slitter.lanes
        self.cut_m = scenario.product.sheet_length_mm / 1000
        self.per_ream = math.ceil(scenario.product.sheets_per_ream / scenario.unwind.webs)
        self.cuts = self.sets = self.rejected = self.no_room = 0
        self.in_pockets = self.on_belt = 0
        self.full = False
        """A full set stands in the pockets."""
        self.gate_shut = False
        """Everything is rejected."""
        self._begun = 0.0, 0
        """Where a cut began, and how many had been made by then."""
        self._rejects: list[tuple[int, int, str]] = []
        """First cut to reject, the one after the last, and why."""
        per_cut = scenario.gate.defects_per_million_sheets * sheets_per_cut / 1e6
        self._defects = luck.pieces(min(1.0, per_cut), "gate", "defect")
        self._next_defect = self._defects()

    # -- knives --------------------------------------------------------------------------------

    def cuts_at(self, x: float) -> int:
        """How many cuts have been made when the webs have run so far."""
        return self._begun[1] + math.floor((x + CLOSE_M - self._begun[0]) / self.cut_m)

    def place_of(self, cuts: int) -> float:
        """Where the webs are when so many cuts have been made."""
        return self._begun[0] + (cuts - self._begun[1]) * self.cut_m

    def run_to(self, x: float) -> None:
        """The webs have run to this place."""
        made = self.cuts_at(x)
        if made == self.cuts:
            return
        while self._next_defect <= made:
            self._reject(int(self._next_defect), self.s.gate.cuts_per_defect, "defect")
            self._next_defect += self._defects()
        good = 0 if self.gate_shut else self._good_between(self.cuts, made)
        self.rejected += made - self.cuts - good
        self.cuts = made
        self._rejects = [each for each in self._rejects if each[1] > made]
        if not self.full:
            taken = min(good, self.per_ream - self.in_pockets)
            self.in_pockets += taken
            good -= taken
        held = min(self.room, good)
        self.on_belt += held
        self.no_room += good - held

    def torn_at(self, x: float) -> None:
        """The cut begun is lost, and what was wrong with the paper before it."""
        self._begun = x, self.cuts
        self._rejects = [each for each in self._rejects if each[2] not in OF_THE_WEB]

    # -- gate ----------------------------------------------------------------------------------

    def after_stop(self, spoiled: int) -> None:
        """The webs start: the first cuts are rejected, and those that a stop has spoiled."""
        self._reject(self.cuts, self.s.gate.cuts_after_stop + spoiled, "stop")

    def reject_around(self, x: float, count: int, why: str) -> None:
        """What left a stand there reaches the knives a path length later."""
        middle = self.cuts_at(x + self.s.web_path.path_length_m)
        self._reject(max(self.cuts, middle - count // 2), count, why)

    def _reject(self, first: int, count: int, why: str) -> None:
        if count:
            self._rejects.append((first, first + count, why))

    def _good_between(self, begin: int, end: int) -> int:
        bad = np.zeros(end - begin, dtype=bool)
        for first, after, _ in self._rejects:
            bad[max(0, first - begin) : max(0, after - begin)] = True
        return end - begin - int(bad.sum())

    def _with_good(self, good: int) -> int:
        """Cuts made when so many more good ones have been, as far as rejects are known."""
        cuts = self.cuts
        while good > 0:
            end = cuts + good
            good -= self._good_between(cuts, end)
            cuts = end
        return cuts

    # -- pockets -------------------------------------------------------------------------------

    @property
    def room(self) -> int:
        """Cuts that the belt can still hold back."""
        return int(self.s.overlap_belt.hold_cuts) - self.on_belt

    def set_is_full(self) -> bool:
        """True once for each set that fills the pockets."""
        if self.full or self.in_pockets < self.per_ream:
            return False
        self.full = True
        self.sets += 1
        return True

    def taken(self) -> None:
        """The pockets are free again, and the belt lets go of what it held."""
        self.full = False
        self.in_pockets = min(self.on_belt, self.per_ream)
        self.on_belt -= self.in_pockets

    def spoil_pockets(self) -> None:
        """Unfinished reams are lost; a full set is as good as lifted out."""
        self.on_belt = 0
        if not self.full:
            self.in_pockets = 0

    def brake_at(self, motion: Motion) -> float:
        """Where the webs must brake so as to stand when the belt is full."""
        if self.gate_shut:
            return math.inf
        if motion.loss == math.inf:
            return self.place_of(self._with_good(self.room))
        slowing = motion.run_down_m(motion.v)
        if motion.target <= motion.v:
            cuts = max(0, self.room - int(slowing / self.cut_m) - 1)
            return self.place_of(self._with_good(cuts))
        # They gain speed until then: v^2 grows by twice the gain with every metre. They stand
        # at the end of a cut, to the um, and it is not quite made.
        full = self.place_of(self._with_good(self.room) - 1) - 4 * CLOSE_M
        left = full - motion.x - slowing
        return motion.x + max(0.0, left / (1 + motion.gain / motion.loss))

    def next_place(self) -> float:
        """Where the next cut is made that matters: it fills the pockets, or a defect begins."""
        cuts = [] if self._next_defect == math.inf else [int(self._next_defect)]
        if not self.full and not self.gate_shut:
            cuts.append(self._with_good(self.per_ream - self.in_pockets))
        return self.place_of(min(cuts)) if cuts else math.inf
