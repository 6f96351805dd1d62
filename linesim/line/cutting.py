"""Cutting: from paper at the knives, through the reject gate, to full sets in the pockets.

A cut is one stroke of the knives across all webs. Cuts are numbered; where the count was last
begun afresh (the beginning of a run, a break, other goods) stands in ``begun_um``. What is to be
rejected stands in a list of stretches that do not overlap, so every cut leaves for one reason
only: the first that claimed it. All pockets of the row fill together, a sheet of every web with
each cut. While a full set waits to be lifted out, good cuts stay on the overlap belt; what the
belt cannot hold has no room and leaves at the gate.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line.books import AFTER_STOP, DEFECT, JOINT, NO_ROOM, SPLICE, use_paper
from linesim.line.chance import Stream, draw, first_draw
from linesim.line.clock import NEVER, times
from linesim.line.line import Line, Site
from linesim.line.typed import Row, add

_MOST_STRETCHES = 1 << 16


@dataclass(slots=True)
class Stretches:
    """Stretches of cuts that are to be rejected."""

    begins: Row[int]
    """First cut of each, ..."""
    ends: Row[int]
    """... cut after the last, ..."""
    reasons: Row[int]
    """... and why."""


def _no_stretches() -> Stretches:
    what = "stretches of bad paper"
    return Stretches(
        Row(what, _MOST_STRETCHES), Row(what, _MOST_STRETCHES), Row(what, _MOST_STRETCHES)
    )


@dataclass(slots=True)
class Gate:
    """Rejects whole cuts."""

    claims: Stretches
    """What is to be rejected, in the order of cuts."""
    hidden: Stretches
    """What else claims paper that leaves for a splice or joint, in order of asking."""
    defects: Stream
    """Cuts from one defect to the next."""
    cuts_per_defect: int
    next_defect: int
    """Cut at which the next one begins; NEVER where there are none."""
    cuts_after_stop: int
    cuts_per_splice: int
    cuts_per_joint: int
    shut: bool = False
    """All that is cut leaves here, whatever it is."""


def new_gate(site: Site) -> Gate:
    """A gate with nothing to reject but the first defect."""
    table = site.scenario.gate
    per_cut = table.defects_per_million_sheets * site.scenario.unwind.webs * site.goods[0].lanes
    likely = min(1.0, per_cut / 1e6)
    found = likely > 0
    defects = site.chance.gaps(likely, "gate", "defect") if found else site.chance.none()
    return Gate(
        claims=_no_stretches(),
        hidden=_no_stretches(),
        defects=defects,
        cuts_per_defect=table.cuts_per_defect,
        next_defect=first_draw(defects) if found else NEVER,
        cuts_after_stop=table.cuts_after_stop,
        cuts_per_splice=table.cuts_per_splice,
        cuts_per_joint=table.cuts_per_joint,
    )


def reject(line: Line, first: int, count: int, reason: int) -> None:
    """Send ``count`` cuts away from number ``first`` on, where nothing else claims them."""
    claims, hidden = line.webs.gate.claims, line.webs.gate.hidden
    end = first + count
    # Most claims lie beyond all the others.
    i = len(claims.ends)
    while i > 0 and claims.ends[i - 1] > first:
        i -= 1
    while i < len(claims.begins):
        begin, until = claims.begins[i], claims.ends[i]
        if begin >= end:
            break
        if begin > first:
            _insert(line, claims, i, first, begin, reason)
            i += 1
        if _of_the_web(claims.reasons[i]) and not _of_the_web(reason):
            last = len(hidden.begins)
            _insert(line, hidden, last, max(first, begin), min(end, until), reason)
        first = until
        i += 1
    if first < end:
        _insert(line, claims, i, first, end, reason)


def _of_the_web(reason: int) -> bool:
    """Whether it is in the paper, and lost with it."""
    if reason == SPLICE:
        return True
    return reason == JOINT


def _insert(line: Line, stretches: Stretches, at: int, begin: int, until: int, reason: int) -> None:
    i = len(stretches.begins)
    add(line, stretches.begins, begin)
    add(line, stretches.ends, until)
    add(line, stretches.reasons, reason)
    if line.given_up != 0:
        return
    while i > at:
        stretches.begins[i] = stretches.begins[i - 1]
        stretches.ends[i] = stretches.ends[i - 1]
        stretches.reasons[i] = stretches.reasons[i - 1]
        i -= 1
    stretches.begins[at] = begin
    stretches.ends[at] = until
    stretches.reasons[at] = reason


def _drop(stretches: Stretches, i: int) -> None:
    del stretches.begins[i]
    del stretches.ends[i]
    del stretches.reasons[i]


def forget_paper(line: Line) -> None:
    """The paper behind the knives is gone with its splices and joints; other claims are left."""
    claims, hidden, after = line.webs.gate.claims, line.webs.gate.hidden, line.webs.cutting.cuts
    i = 0
    while i < len(claims.begins):
        if _of_the_web(claims.reasons[i]) and claims.begins[i] >= after:
            _drop(claims, i)
            continue
        if _of_the_web(claims.reasons[i]):
            claims.ends[i] = min(claims.ends[i], after)
        i += 1
    while len(hidden.begins) > 0:
        begin, until, reason = hidden.begins[0], hidden.ends[0], hidden.reasons[0]
        _drop(hidden, 0)
        begin = max(after, begin)
        reject(line, begin, until - begin, reason)


def cut_with_good(line: Line, good: int, foreseen: bool) -> int:
    """The number of cuts made when ``good`` more have passed.

    Unless it is ``foreseen``, a defect is not known before it comes to the knives.
    """
    claims, made = line.webs.gate.claims, line.webs.cutting.cuts
    end = made + good
    i = 0
    while line.given_up == 0:
        if foreseen:
            _find_defects(line, end)  # they lie beyond all that were found before
        if i == len(claims.begins):
            break
        begin = max(claims.begins[i], made)
        if begin >= end:
            break
        if foreseen or claims.reasons[i] != DEFECT or claims.begins[i] <= made:
            end += max(0, claims.ends[i] - begin)
        i += 1
    return end


def _pass_cuts(line: Line, made: int, now_made: int) -> int:
    """Cuts ``made`` to ``now_made`` come by; returns how many pass to the pockets."""
    claims, hidden = line.webs.gate.claims, line.webs.gate.hidden
    _find_defects(line, now_made)
    good = now_made - made
    while len(claims.begins) > 0 and claims.begins[0] < now_made:
        bad = min(claims.ends[0], now_made) - max(claims.begins[0], made)
        line.book.rejected_cuts[claims.reasons[0]] += bad
        good -= bad
        if claims.ends[0] > now_made:
            break
        _drop(claims, 0)
    i = 0
    while i < len(hidden.begins):
        if hidden.ends[i] > now_made:
            i += 1
        else:
            _drop(hidden, i)
    return good


def _find_defects(line: Line, until: int) -> None:
    gate = line.webs.gate
    while gate.next_defect < until and line.given_up == 0:
        reject(line, gate.next_defect, gate.cuts_per_defect, DEFECT)
        gate.next_defect += max(1, draw(line, gate.defects))


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
    scenario = site.scenario
    return Pockets(scenario.overlap_belt.hold_cuts, scenario.pockets.interim_fingers)


def cut_to(line: Line, cuts: int) -> None:
    """So many cuts are made: what passes the gate comes to the pockets."""
    cutting, pockets = line.webs.cutting, line.webs.pockets
    made = cutting.cuts
    cutting.cuts = cuts
    good = _pass_cuts(line, made, cuts)
    if line.webs.gate.shut:
        line.book.rejected_cuts[AFTER_STOP] += good
        good = 0
    if not pockets.full:
        pockets.cuts += good
    else:
        taken = min(good, pockets.belt_holds_cuts - pockets.on_belt)
        pockets.on_belt += taken
        line.book.rejected_cuts[NO_ROOM] += good - taken
        good = taken
    line.book.fine_cuts += good
    line.book.bad_cuts += cuts - made - good


def cuts_at(line: Line, place_um: int) -> int:
    """Cuts made when the webs have run to this place."""
    cutting = line.webs.cutting
    return cutting.begun_cuts + (place_um - cutting.begun_um) // line.goods.cut_um


def place_of_cut(line: Line, cuts: int) -> int:
    """Where the webs are when so many cuts are made, um."""
    cutting = line.webs.cutting
    return cutting.begun_um + times(cuts - cutting.begun_cuts, line.goods.cut_um)


def place_with_good(line: Line, good: int) -> int:
    """Where the webs are when ``good`` more cuts have passed the gate, um; NEVER if it is shut."""
    if line.webs.gate.shut:
        return NEVER
    return place_of_cut(line, cut_with_good(line, good, True))


def reject_around(line: Line, place_um: int, count: int, reason: int) -> None:
    """``count`` cuts around paper that leaves the stand at this place leave at the gate.

    It reaches the knives a path length later.
    """
    cuts = cuts_at(line, place_um + line.webs.unwind.path_um)
    reject(line, max(line.webs.cutting.cuts, cuts - count // 2), count, reason)


def partial_um(line: Line) -> int:
    """Paper of one web beyond the last cut."""
    return line.webs.motion.place_um - place_of_cut(line, line.webs.cutting.cuts)


def drop_partial_cut(line: Line, use: int) -> None:
    """The cut begun is lost, broken or spoiled; the next one starts from here."""
    use_paper(line, use, partial_um(line) * line.webs.unwind.webs)
    line.webs.cutting.begun_um = line.webs.motion.place_um
    line.webs.cutting.begun_cuts = line.webs.cutting.cuts


def sheets_in_pockets(line: Line) -> int:
    """Sheets in unfinished reams and on the overlap belt."""
    pockets = line.webs.pockets
    cuts = pockets.on_belt
    if not pockets.full:
        cuts += pockets.cuts
    return cuts * line.webs.unwind.webs * line.goods.lanes


def clear_pockets(line: Line) -> None:
    """Unfinished reams and what lies on the belt are thrown out."""
    line.book.sheets_spoiled += sheets_in_pockets(line)
    line.webs.pockets.on_belt = 0
    if not line.webs.pockets.full:
        line.webs.pockets.cuts = 0
