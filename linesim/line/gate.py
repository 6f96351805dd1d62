"""The reject gate: which cuts pass to the pockets and which leave.

Cuts are numbered as they are made. What is to be rejected stands in a list of stretches that do
not overlap, so every cut leaves for one reason only: the first that claimed it.
"""

from __future__ import annotations

from bisect import bisect_right
from itertools import islice
from operator import itemgetter

from linesim.line.chance import Stream

Stretch = tuple[int, int, str]
"""First cut, cut after the last, reason."""


_until = itemgetter(1)


class Gate:
    """The gate of one run; counts rejected cuts by reason."""

    def __init__(self, defects: Stream | None, cuts_per_defect: int) -> None:
        self.rejected: dict[str, int] = {}
        self.stretches: list[Stretch] = []
        """What is to be rejected, in the order of cuts."""
        self.defects = defects
        self.cuts_per_defect = cuts_per_defect
        self.next_defect = max(1, defects.draw()) if defects else None
        """Cut at which the next defect begins; None where there are none."""

    def reject(self, first: int, count: int, reason: str) -> None:
        """Send ``count`` cuts away from number ``first`` on, where nothing else claims them."""
        end = first + count
        pieces = []
        # What ends before it is passed over: a bad reel can have thousands of stretches.
        at = bisect_right(self.stretches, first, key=_until)
        for begin, until, _ in islice(self.stretches, at, None):
            if begin >= end:
                break
            if begin > first:
                pieces.append((first, begin, reason))
            first = until
        if first < end:
            pieces.append((first, end, reason))
        if pieces:
            self.stretches[at:at] = pieces
            if len(self.stretches) > at + len(pieces):
                self.stretches.sort()

    def forget(self, after: int, reasons: tuple[str, ...]) -> None:
        """The paper beyond cut ``after`` is gone: what was wrong with it, too."""
        kept = []
        for begin, until, reason in self.stretches:
            if reason in reasons and until > after:
                if begin < after:
                    kept.append((begin, after, reason))
            else:
                kept.append((begin, until, reason))
        self.stretches = kept

    def cut_with_good(self, made: int, good: int) -> int:
        """The number of cuts made when ``good`` more have passed, ``made`` being made now."""
        end = made + good
        if self._all_pass(end):
            return end
        at = bisect_right(self.stretches, made, key=_until)
        while True:
            self._find_defects(end)  # they lie beyond all that were found before
            if at == len(self.stretches):
                return end
            begin, until, _ = self.stretches[at]
            if max(begin, made) >= end:
                return end
            end += until - max(begin, made)
            at += 1

    def pass_cuts(self, made: int, now_made: int) -> int:
        """Cuts ``made`` to ``now_made`` come by; returns how many pass to the pockets."""
        if self._all_pass(now_made):
            return now_made - made
        self._find_defects(now_made)
        bad = 0
        gone = 0
        for begin, until, reason in self.stretches:
            if begin >= now_made:
                break
            count = min(until, now_made) - max(begin, made)
            if count > 0:
                bad += count
                self.rejected[reason] = self.rejected.get(reason, 0) + count
            if until <= now_made:
                gone += 1
        if gone:
            del self.stretches[:gone]
        return now_made - made - bad

    def _all_pass(self, until: int) -> bool:
        """Nothing is to be rejected before cut ``until``."""
        return not self.stretches and (self.next_defect is None or self.next_defect >= until)

    def _find_defects(self, until: int) -> None:
        while self.next_defect is not None and self.next_defect < until:
            assert self.defects is not None
            self.reject(self.next_defect, self.cuts_per_defect, "defect")
            self.next_defect += max(1, self.defects.draw())
