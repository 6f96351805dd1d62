"""What went in and what became of it: paper in micrometres of web, reams by the piece.

A ream is good when it leaves its wrapper, or has been wrapped again by hand. None is lost behind
the wrappers, so what has left on pallets differs from that only by what is on the way.

Paper is booked per web metre: ``webs`` webs of one length count as ``webs`` times that length.
All figures are whole numbers, so a balance is exact or wrong.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from typing import Any, TypeVar


@dataclass
class PaperBook:
    """Web length in um, all webs together."""

    at_start: int = 0
    """On the stands and threaded through the machine when the count began."""
    loaded: int = 0
    """Reels put on the stands."""
    to_pockets: int = 0
    """Cut into sheets that passed the gate."""
    rejected: dict[str, int] = field(default_factory=dict)
    """Cut and sent away at the gate, by reason."""
    broken: int = 0
    """Lost in breaks: what was in the machine."""
    spoiled: int = 0
    """Lost by stops that spoil web, and at change-overs."""
    butts: int = 0
    """Left on the cores."""
    returned: int = 0
    """Part reels taken back to the store at a change of grade."""
    at_end: int = 0
    """Still on the stands and in the machine."""

    @property
    def gone_in(self) -> int:
        return self.at_start + self.loaded

    @property
    def accounted(self) -> int:
        kept = self.to_pockets + self.returned + self.at_end
        return kept + sum(self.rejected.values()) + self.broken + self.spoiled + self.butts


@dataclass
class SheetBook:
    """Sheets that passed the gate: those ``at_start`` and those that came ``to_pockets``."""

    at_start: int = 0
    to_pockets: int = 0
    in_reams: int = 0
    """In full reams, extra sheets of uneven counting included."""
    given_away: int = 0
    """Of these, the sheets above the ream count."""
    spoiled: int = 0
    """Cleared out of pockets."""
    at_end: int = 0
    """In unfinished reams, in the pockets and on the overlap belt."""

    @property
    def balanced(self) -> bool:
        return self.at_start + self.to_pockets == self.in_reams + self.spoiled + self.at_end


@dataclass
class ReamBook:
    """Reams by the piece; ``at_start`` what the line held when the count began."""

    at_start: int = 0
    made: int = 0
    """Lifted out of the pockets or waiting there full."""
    wrapped: int = 0
    """Good wraps."""
    reworked: int = 0
    """Wrapped again by hand, good."""
    repulped: int = 0
    """Spoiled wraps that could not be saved."""
    set_aside: int = 0
    """Found no place on the bridge."""
    at_end: int = 0
    """Still on the line."""

    @property
    def good(self) -> int:
        return self.wrapped + self.reworked

    @property
    def lost(self) -> int:
        return self.repulped + self.set_aside

    @property
    def balanced(self) -> bool:
        return self.at_start + self.made == self.good + self.lost + self.at_end


@dataclass
class CartonBook:
    """Wrapped reams of a line with a carton packer, by the piece, and what they are in."""

    at_start: int = 0
    """Behind the wrappers when the count began: waiting, in cartons, on a pallet not yet full."""
    came: int = 0
    """Good reams that left the wrappers."""
    delivered: int = 0
    """On full pallets; in cartons where there is no palletiser."""
    at_end: int = 0
    """Still on the way."""
    cartons: int = 0
    """Good ones closed."""
    cartons_spoiled: int = 0
    """Closed and packed again."""
    pallets: int = 0
    """Full ones."""

    @property
    def balanced(self) -> bool:
        return self.at_start + self.came == self.delivered + self.at_end


_Book = TypeVar("_Book", PaperBook, SheetBook, ReamBook, CartonBook)


@dataclass
class Books:
    """Paper, sheets and reams by where they went, and the number of cuts."""

    paper: PaperBook = field(default_factory=PaperBook)
    sheets: SheetBook = field(default_factory=SheetBook)
    reams: ReamBook = field(default_factory=ReamBook)
    cuts: int = 0
    web_um: int = 0
    """Web that passed the knives, one web."""
    area_um2: dict[str, int] = field(default_factory=dict)
    """Area of paper used, in um2: to_pockets, rejected, edge_trim, broken, spoiled, butts."""
    mass_ug: dict[str, int] = field(default_factory=dict)
    """Mass of paper used, in micrograms, with the same keys."""
    cartons: CartonBook | None = None
    """Of a line with a carton packer."""

    def use(self, what: str, length_um: int, width_um: int, grammage_mg_per_m2: int) -> None:
        """Book an area of paper and its mass (rounded down to the microgram)."""
        area = length_um * width_um
        self.area_um2[what] = self.area_um2.get(what, 0) + area
        mass = area * grammage_mg_per_m2 // 1_000_000_000
        self.mass_ug[what] = self.mass_ug.get(what, 0) + mass

    def since(self, before: Books) -> Books:
        """What was entered after ``before``, an earlier state of these books.

        What was there at the end of that state is there at the start of this one.
        """
        return Books(
            _since(self.paper, before.paper),
            _since(self.sheets, before.sheets),
            _since(self.reams, before.reams),
            self.cuts - before.cuts,
            self.web_um - before.web_um,
            _less(self.area_um2, before.area_um2),
            _less(self.mass_ug, before.mass_ug),
            _since(self.cartons, before.cartons) if self.cartons and before.cartons else None,
        )

    def faults(self) -> list[str]:
        """Every book that does not balance, in words; empty when all do."""
        found = []
        if self.paper.gone_in != self.paper.accounted:
            difference = self.paper.gone_in - self.paper.accounted
            found.append(f"paper: {difference} um of web unaccounted for")
        if not self.sheets.balanced:
            found.append(f"sheets do not balance: {_figures(self.sheets)}")
        if not self.reams.balanced:
            found.append(f"reams do not balance: {_figures(self.reams)}")
        if self.cartons and not self.cartons.balanced:
            found.append(f"reams behind the wrappers do not balance: {_figures(self.cartons)}")
        return found


def _since(now: _Book, before: _Book) -> _Book:
    found: dict[str, Any] = {}
    for name, value in vars(now).items():
        was = getattr(before, name)
        found[name] = _less(value, was) if isinstance(value, dict) else value - was
    return type(now)(**found | {"at_start": before.at_end, "at_end": now.at_end})


def _less(now: dict[str, int], before: dict[str, int]) -> dict[str, int]:
    return {name: value - before.get(name, 0) for name, value in now.items()}


def _figures(book: SheetBook | ReamBook | CartonBook) -> str:
    return ", ".join(f"{f.name} {getattr(book, f.name)}" for f in fields(book))
