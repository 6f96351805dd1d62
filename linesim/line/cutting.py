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

from linesim.line.books import DEFECT, JOINT, NO_ROOM, SPLICE, USE_BROKEN, USE_SPOILED, use_paper
from linesim.line.chance import Stream, draw, first_draw
from linesim.line.clock import NEVER
from linesim.line.line import Line, Site
from linesim.line.typed import Row, add, shorten

_MOST_STRETCHES = 1 << 16


@dataclass(slots=True)
class Gate:
    """What is to be rejected, in the order of cuts: first cut, cut after the last, reason."""

    begins: Row[int]
    ends: Row[int]
    reasons: Row[int]
    hidden_begins: Row[int]
    """The same of what else claims paper that leaves for a splice or joint, in order of asking."""
    hidden_ends: Row[int]
    hidden_reasons: Row[int]
    defects: Stream
    """Cuts from one defect to the next."""
    cuts_per_defect: int
    next_defect: int
    """Cut at which the next one begins; NEVER where there are none."""
    cuts_after_stop: int
    cuts_per_splice: int
    cuts_per_joint: int


def new_gate(site: Site) -> Gate:
    """A gate with nothing to reject but the first defect."""
    table = site.scenario.gate
    what = "stretches of bad paper"
    per_cut = table.defects_per_million_sheets * site.scenario.unwind.webs * site.goods[0].lanes
    likely = min(1.0, per_cut / 1e6)
    found = likely > 0
    defects = site.chance.gaps(likely, "gate", "defect") if found else site.chance.none()
    return Gate(
        begins=Row(what, _MOST_STRETCHES),
        ends=Row(what, _MOST_STRETCHES),
        reasons=Row(what, _MOST_STRETCHES),
        hidden_begins=Row(what, _MOST_STRETCHES),
        hidden_ends=Row(what, _MOST_STRETCHES),
        hidden_reasons=Row(what, _MOST_STRETCHES),
        defects=defects,
        cuts_per_defect=table.cuts_per_defect,
        next_defect=first_draw(defects) if found else NEVER,
        cuts_after_stop=table.cuts_after_stop,
        cuts_per_splice=table.cuts_per_splice,
        cuts_per_joint=table.cuts_per_joint,
    )


def reject(line: Line, first: int, count: int, reason: int) -> None:
    """Send ``count`` cuts away from number ``first`` on, where nothing else claims them."""
    gate = line.webs.gate
    end = first + count
    # Most claims lie beyond all the others.
    i = len(gate.ends)
    while i > 0 and gate.ends[i - 1] > first:
        i -= 1
    while i < len(gate.begins):
        begin, until = gate.begins[i], gate.ends[i]
        if begin >= end:
            break
        if begin > first:
            _insert(line, i, first, begin, reason)
            i += 1
        if _of_the_web(gate.reasons[i]) and not _of_the_web(reason):
            add(line, gate.hidden_begins, max(first, begin))
            add(line, gate.hidden_ends, min(end, until))
            add(line, gate.hidden_reasons, reason)
        first = until
        i += 1
    if first < end:
        _insert(line, i, first, end, reason)


def _of_the_web(reason: int) -> bool:
    """Whether it is in the paper, and lost with it."""
    if reason == SPLICE:
        return True
    return reason == JOINT


def forget_paper(line: Line, after: int) -> None:
    """The paper beyond cut ``after`` is gone with its splices and joints; other claims are left."""
    gate = line.webs.gate
    kept = 0
    for i in range(len(gate.begins)):
        begin, until = gate.begins[i], gate.ends[i]
        if _of_the_web(gate.reasons[i]) and until > after:
            if begin >= after:
                continue
            until = after
        gate.begins[kept] = begin
        gate.ends[kept] = until
        gate.reasons[kept] = gate.reasons[i]
        kept += 1
    _keep(gate, kept)
    for i in range(len(gate.hidden_begins)):
        begin, until = max(after, gate.hidden_begins[i]), gate.hidden_ends[i]
        if until > begin:
            reject(line, begin, until - begin, gate.hidden_reasons[i])
    _keep_hidden(gate, NEVER)


def _keep_hidden(gate: Gate, from_cut: int) -> None:
    """What is hidden before this cut no longer matters."""
    kept = 0
    for i in range(len(gate.hidden_begins)):
        if gate.hidden_ends[i] > from_cut:
            gate.hidden_begins[kept] = gate.hidden_begins[i]
            gate.hidden_ends[kept] = gate.hidden_ends[i]
            gate.hidden_reasons[kept] = gate.hidden_reasons[i]
            kept += 1
    shorten(gate.hidden_begins, kept)
    shorten(gate.hidden_ends, kept)
    shorten(gate.hidden_reasons, kept)


def cut_with_good(line: Line, made: int, good: int) -> int:
    """The number of cuts made when ``good`` more have passed, ``made`` being made now."""
    gate = line.webs.gate
    end = made + good
    if len(gate.begins) == 0 and gate.next_defect >= end:
        return end
    i = 0
    while i < len(gate.ends) and gate.ends[i] <= made:
        i += 1
    while line.given_up == 0:
        _find_defects(line, end)  # they lie beyond all that were found before
        if i == len(gate.begins):
            return end
        begin = max(gate.begins[i], made)
        if begin >= end:
            return end
        end += gate.ends[i] - begin
        i += 1
    return end


def cut_with_good_as_seen(line: Line, made: int, good: int) -> int:
    """The same as far as is known: a defect is not, before it comes to the knives."""
    gate = line.webs.gate
    end = made + good
    for i in range(len(gate.begins)):
        begin = max(gate.begins[i], made)
        if begin >= end:
            break
        seen = gate.reasons[i] != DEFECT or gate.begins[i] <= made
        if seen and gate.ends[i] > made:
            end += gate.ends[i] - begin
    return end


def pass_cuts(line: Line, made: int, now_made: int) -> int:
    """Cuts ``made`` to ``now_made`` come by; returns how many pass to the pockets."""
    gate = line.webs.gate
    if len(gate.begins) == 0 and gate.next_defect >= now_made:
        return now_made - made
    _find_defects(line, now_made)
    rejected = line.book.rejected_cuts
    bad = gone = 0
    for i in range(len(gate.begins)):
        if gate.begins[i] >= now_made:
            break
        count = min(gate.ends[i], now_made) - max(gate.begins[i], made)
        if count > 0:
            bad += count
            rejected[gate.reasons[i]] += count
        if gate.ends[i] <= now_made:
            gone += 1
    if gone > 0:
        left = len(gate.begins) - gone
        for i in range(left):
            gate.begins[i] = gate.begins[i + gone]
            gate.ends[i] = gate.ends[i + gone]
            gate.reasons[i] = gate.reasons[i + gone]
        _keep(gate, left)
        _keep_hidden(gate, now_made)
    return now_made - made - bad


def _find_defects(line: Line, until: int) -> None:
    gate = line.webs.gate
    while gate.next_defect < until and line.given_up == 0:
        reject(line, gate.next_defect, gate.cuts_per_defect, DEFECT)
        gate.next_defect += max(1, draw(line, gate.defects))


def _insert(line: Line, at: int, begin: int, until: int, reason: int) -> None:
    gate = line.webs.gate
    i = len(gate.begins)
    add(line, gate.begins, begin)
    add(line, gate.ends, until)
    add(line, gate.reasons, reason)
    if line.given_up != 0:
        return
    while i > at:
        gate.begins[i] = gate.begins[i - 1]
        gate.ends[i] = gate.ends[i - 1]
        gate.reasons[i] = gate.reasons[i - 1]
        i -= 1
    gate.begins[at] = begin
    gate.ends[at] = until
    gate.reasons[at] = reason


def _keep(gate: Gate, count: int) -> None:
    shorten(gate.begins, count)
    shorten(gate.ends, count)
    shorten(gate.reasons, count)


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
