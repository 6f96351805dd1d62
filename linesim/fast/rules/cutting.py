"""Compiled: cutting and its books, as in ``line.cutting`` and ``line.pockets``."""

from __future__ import annotations

from linesim.fast.layout import NO_ROOM, USE_BROKEN
from linesim.fast.parts import part
from linesim.fast.rules.gate import pass_cuts, reject


@part
def use_paper(s, what, length):
    """Follows ``Cutting.use``. Area in two parts, so that no sum outgrows a whole number."""
    area = length * s.web_width_um
    high = area // 1_000_000_000
    low = area - high * 1_000_000_000
    s.use_high[what] += high
    s.use_low[what] += low
    s.use_calls[what] += 1
    s.use_mass[what] += high * s.grammage + low * s.grammage // 1_000_000_000


@part
def pass_made(s, cuts):
    """Follows ``Cutting.cut_to`` and ``Pockets.take``."""
    made = s.w_cuts
    s.w_cuts = cuts
    good = pass_cuts(s, made, cuts)
    if s.p_full == 0:
        s.p_cuts += good
        no_room = 0
    else:
        taken = min(good, s.p_hold - s.p_on_belt)
        s.p_on_belt += taken
        no_room = good - taken
        s.g_rejected[NO_ROOM] += no_room
    fine = good - no_room
    s.w_fine += fine
    s.w_bad += cuts - made - fine


@part
def reject_around(s, x, count, reason):
    """Follows ``WebJoins._reject_around`` and ``Cutting.reject_around``."""
    there = x + s.u_path_um
    number = s.w_cut_number + (there - s.w_cut_x) // s.cut_um
    reject(s, max(s.w_cuts, number - count // 2), count, reason)


@part
def drop_partial_cut(s):
    """Follows ``Cutting.drop_partial``."""
    partial = (s.w_x - s.w_cut_x) - (s.w_cuts - s.w_cut_number) * s.cut_um
    s.broken += partial * s.webs
    use_paper(s, USE_BROKEN, partial * s.webs)
    s.w_cut_x = s.w_x
    s.w_cut_number = s.w_cuts
