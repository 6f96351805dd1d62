"""The reject gate: which cuts pass to the pockets and which leave.

Cuts are numbered as they are made. What is to be rejected stands in a list of stretches that do
not overlap, so every cut leaves for one reason only: the first that claimed it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from linesim.line.chance import Stream, draw, first_draw
from linesim.line.clock import NEVER
from linesim.line.typed import Row, add, shorten

if TYPE_CHECKING:
    from linesim.line.line import Line
    from linesim.line.site import Site

REASONS = ("after_stop", "spoiled", "splice", "joint", "defect", "no_room")
AFTER_STOP, SPOILED, SPLICE, JOINT, DEFECT, NO_ROOM = range(6)

_MOST_STRETCHES = 1 << 16


@dataclass(slots=True)
class Gate:
    """What is to be rejected, in the order of cuts: first cut, cut after the last, reason."""

    begins: Row[int]
    ends: Row[int]
    reasons: Row[int]
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
        defects=defects,
        cuts_per_defect=table.cuts_per_defect,
        next_defect=first_draw(defects) if found else NEVER,
        cuts_after_stop=table.cuts_after_stop,
        cuts_per_splice=table.cuts_per_splice,
        cuts_per_joint=table.cuts_per_joint,
    )


# -- rules ---------------------------------------------------------------------------------------


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
        first = until
        i += 1
    if first < end:
        _insert(line, i, first, end, reason)


def forget_paper(line: Line, after: int, reason: int, other_reason: int) -> None:
    """The paper beyond cut ``after`` is gone: what was wrong with it, too."""
    gate = line.webs.gate
    kept = 0
    for i in range(len(gate.begins)):
        begin, until = gate.begins[i], gate.ends[i]
        on_it = gate.reasons[i] == reason or gate.reasons[i] == other_reason
        if on_it and until > after:
            if begin >= after:
                continue
            until = after
        gate.begins[kept] = begin
        gate.ends[kept] = until
        gate.reasons[kept] = gate.reasons[i]
        kept += 1
    _keep(gate, kept)


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
