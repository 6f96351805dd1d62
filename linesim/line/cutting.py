"""Cutting: from paper at the knives to full sets in the pockets.

A cut is one stroke of the knives across all webs. Cuts are numbered; where the count was last
begun afresh (the beginning of a run, a break, other goods) stands in ``begun_um``. All pockets of
the row fill together, a sheet of every web with each cut. While a full set waits to be lifted out,
good cuts stay on the overlap belt; what the belt cannot hold has no room and leaves at the gate.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from linesim.line.books import USE_BROKEN, USE_SPOILED, use_paper
from linesim.line.gate import NO_ROOM, cut_with_good, pass_cuts, reject

if TYPE_CHECKING:
    from linesim.line.line import Line
    from linesim.line.site import Site


@dataclass(slots=True)
class Cutting:
    """What was cut."""

    cuts: int = 0
    """Cuts made."""
    reams: int = 0
    """Reams in all sets that were full."""
    begun_um: int = 0
    begun_cuts: int = 0


@dataclass(slots=True)
class Pockets:
    """The row of pockets, and the overlap belt before it."""

    belt_holds_cuts: int
    """Cuts that the overlap belt can hold."""
    interim_fingers: bool
    cuts: int = 0
    """Cuts in the pockets."""
    on_belt: int = 0
    """Cuts held back on the overlap belt."""
    full: bool = False
    """A full set stands in the pockets."""


def new_pockets(site: Site) -> Pockets:
    """Empty ones."""
    scenario = site.scenario
    return Pockets(scenario.overlap_belt.hold_cuts, scenario.pockets.interim_fingers)


# -- rules ---------------------------------------------------------------------------------------


def cut_to(line: Line, cuts: int) -> None:
    """So many cuts are made: what passes the gate comes to the pockets."""
    cutting, pockets = line.webs.cutting, line.webs.pockets
    made = cutting.cuts
    cutting.cuts = cuts
    good = pass_cuts(line, made, cuts)
    if not pockets.full:
        pockets.cuts += good
    else:
        taken = min(good, pockets.belt_holds_cuts - pockets.on_belt)
        pockets.on_belt += taken
        line.book.rejected_cuts[NO_ROOM] += good - taken
        good = taken
    line.book.fine_cuts += good
    line.book.bad_cuts += cuts - made - good


def place_of_cut(line: Line, cuts: int) -> int:
    """Where the webs are when so many cuts are made, um."""
    cutting = line.webs.cutting
    return cutting.begun_um + (cuts - cutting.begun_cuts) * line.goods.cut_um


def place_with_good(line: Line, good: int) -> int:
    """Where the webs are when ``good`` more cuts have passed the gate, um."""
    return place_of_cut(line, cut_with_good(line, line.webs.cutting.cuts, good))


def reject_around(line: Line, place_um: int, count: int, reason: int) -> None:
    """``count`` cuts around paper that leaves the stand at this place leave at the gate.

    It reaches the knives a path length later.
    """
    cutting = line.webs.cutting
    there = place_um + line.webs.unwind.path_um
    cuts = cutting.begun_cuts + (there - cutting.begun_um) // line.goods.cut_um
    reject(line, max(cutting.cuts, cuts - count // 2), count, reason)


def partial_um(line: Line) -> int:
    """Paper of one web beyond the last cut."""
    return line.webs.motion.place_um - place_of_cut(line, line.webs.cutting.cuts)


def drop_partial_cut(line: Line, use: int) -> None:
    """The cut begun is lost, broken or spoiled; the next one starts from here."""
    cutting = line.webs.cutting
    lost = partial_um(line) * line.webs.unwind.webs
    if use == USE_BROKEN:
        line.book.broken_um += lost
    else:
        line.book.spoiled_um += lost
    use_paper(line, use, lost)
    cutting.begun_um = line.webs.motion.place_um
    cutting.begun_cuts = cutting.cuts


def clear_pockets(line: Line) -> None:
    """Unfinished reams and what lies on the belt are thrown out."""
    pockets = line.webs.pockets
    lost = pockets.on_belt
    pockets.on_belt = 0
    if not pockets.full:
        lost += pockets.cuts
        pockets.cuts = 0
    line.book.sheets_spoiled += lost * line.webs.unwind.webs * line.goods.lanes


def lose_threaded_paper(line: Line, threaded: int) -> None:
    """Other reels come: what so many webs have threaded is lost."""
    lost = threaded * line.webs.unwind.path_um
    line.book.spoiled_um += lost
    use_paper(line, USE_SPOILED, lost)


def sheets_in_pockets(line: Line) -> int:
    """Sheets in unfinished reams and on the overlap belt."""
    pockets = line.webs.pockets
    cuts = pockets.on_belt
    if not pockets.full:
        cuts += pockets.cuts
    return cuts * line.webs.unwind.webs * line.goods.lanes
