"""Pockets, and the overlap belt before them that can hold cuts back for a while."""

from __future__ import annotations


class Pockets:
    """The row of pockets: all fill together, a sheet of every web with each cut.

    While a full set waits to be lifted out, good cuts stay on the overlap belt; what the belt
    cannot hold has no room and leaves at the gate.
    """

    def __init__(self, hold_cuts: int, interim_fingers: bool) -> None:
        self.interim_fingers = interim_fingers
        self.cuts = 0
        """Cuts in the pockets."""
        self.on_belt = 0
        """Cuts held back on the overlap belt."""
        self.full = False
        """A full set stands in the pockets."""
        self.hold_cuts = hold_cuts
        """Cuts that the overlap belt can hold."""

    def take(self, cuts: int) -> int:
        """Good cuts arrive; returns how many find no room."""
        if not self.full:
            self.cuts += cuts
            return 0
        taken = min(cuts, self.room)
        self.on_belt += taken
        return cuts - taken

    @property
    def room(self) -> int:
        """Cuts that the overlap belt can still hold."""
        return self.hold_cuts - self.on_belt

    def emptied(self, cuts_per_ream: int) -> None:
        """The set is lifted out; what the belt holds falls into the pockets."""
        self.full = False
        self.cuts = min(self.on_belt, cuts_per_ream)
        self.on_belt -= self.cuts

    def clear(self) -> int:
        """Throw out what lies in unfinished reams and on the belt; returns the cuts."""
        lost = self.on_belt
        self.on_belt = 0
        if not self.full:
            lost += self.cuts
            self.cuts = 0
        return lost
