"""What went in and what became of it, counted while the line runs, one page for each product.

Paper is counted in um of web, all webs together, sheets and reams by the piece.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line import told
from linesim.line.accounts import LOSSES, losses_by_now
from linesim.line.line import Line
from linesim.line.typed import Row

REASONS = ("after_stop", "spoiled", "splice", "joint", "defect", "no_room")
AFTER_STOP, SPOILED, SPLICE, JOINT, DEFECT, NO_ROOM = range(6)
"""Why a cut leaves at the gate."""
USES = ("broken", "spoiled", "butts")
USE_BROKEN, USE_SPOILED, USE_BUTTS = range(3)
_PART = 1_000_000_000
"""Areas are kept in two parts, so that no sum outgrows 64 bits."""


@dataclass(slots=True)
class Page:
    """What was entered while one product was made."""

    rejected_cuts: Row[int]
    """By reason."""
    used_um: Row[int]
    """Paper used, by use."""
    area_high: Row[int]
    """The same in 10^9 um2 ..."""
    area_low: Row[int]
    """... and what is left of it, um2."""
    mass_ug: Row[int]
    times_used: Row[int]
    wrapped_by: Row[int]
    """Reams finished by each wrapper so far, in all, when it was closed."""
    taken_out: Row[int]
    """Reams, by each station behind the wrappers so far, in all, when it was closed."""
    losses_ns: Row[int]
    """Of all stations, by loss, so far, when it was closed."""
    product: int = 0
    fine_cuts: int = 0
    bad_cuts: int = 0
    sets: int = 0
    """Full ones."""
    loaded_um: int = 0
    returned_um: int = 0
    sheets_spoiled: int = 0
    wrapped: int = 0
    reworked: int = 0
    repulped: int = 0
    set_aside: int = 0
    closed_ns: int = 0
    place_um: int = 0
    """Where the webs were when it was closed."""
    paper_um: int = 0
    """On the stands and in the machine when it was closed."""
    sheets: int = 0
    """In the pockets and on the belt when it was closed."""
    reams: int = 0
    """On the line when it was closed."""
    cartons_spoiled: int = 0
    pallets: int = 0
    """Full ones."""
    behind: int = 0
    """Wrapped reams that had not left the line when it was closed."""


def new_page(wrappers: int, ends: int, stations: int) -> Page:

    def zeros(what: str, count: int) -> Row[int]:
        return Row(what, count, [0] * count)

    return Page(
        rejected_cuts=zeros("reasons to reject", len(REASONS)),
        used_um=zeros("uses of paper", len(USES)),
        area_high=zeros("uses of paper", len(USES)),
        area_low=zeros("uses of paper", len(USES)),
        mass_ug=zeros("uses of paper", len(USES)),
        times_used=zeros("uses of paper", len(USES)),
        wrapped_by=zeros("wrappers", wrappers),
        taken_out=zeros("stations behind the wrappers", ends),
        losses_ns=zeros("losses", stations * LOSSES),
    )


def use_paper(line: Line, use: int, length_um: int) -> None:
    """Enter what became of a length of web, all webs together."""
    area = length_um * line.goods.web_width_um
    high = area // _PART
    low = area - high * _PART
    grammage = line.goods.grammage_mg_per_m2
    page = line.book
    page.used_um[use] += length_um
    page.area_high[use] += high
    page.area_low[use] += low
    page.mass_ug[use] += high * grammage + low * grammage // _PART
    page.times_used[use] += 1


def close_page(line: Line) -> None:
    """Nothing more is entered: note what is on the line now."""
    page = line.book
    for account in line.accounts.of:
        losses = losses_by_now(line, account)
        for loss in range(LOSSES):
            page.losses_ns[account.station * LOSSES + loss] = losses[loss]
    for wrapper in line.wrappers:
        page.wrapped_by[wrapper.which] = wrapper.done - wrapper.thrown_away
    page.closed_ns = line.now_ns
    page.place_um = line.webs.motion.place_um
    page.paper_um = paper_on_line(line)
    page.sheets = told.sheets_in_pockets(line)
    page.reams = reams_on_line(line)
    page.behind = told.reams_behind(line)
    for end in line.end_of_line:
        page.taken_out[end.which] = end.done


def turn_page(line: Line) -> None:
    """What is entered from now on is for another product, or the first that counts."""
    close_page(line)
    line.page += 1
    line.book = line.pages[line.page]
    line.book.product = line.product


def paper_on_line(line: Line) -> int:
    """Paper on the stands, threaded, and in the cut that has begun; all webs, um."""
    unwind, place = line.webs.unwind, line.webs.motion.place_um
    total = told.partial_um(line) * unwind.webs
    for stand in unwind.stands:
        total += stand.end_um - place
        if stand.threaded:
            total += unwind.path_um
        if unwind.paired and stand.partner_there:
            total += stand.lengths_um[stand.partner]
    return total


def reams_on_line(line: Line) -> int:
    """Reams made that have neither left nor been lost."""
    reams = line.transfer.carried + line.bridge.level + line.rework.lying
    if line.transfer.set_waits:
        reams += line.goods.lanes
    for wrapper in line.wrappers:
        if wrapper.busy:
            reams += 1
    return reams
