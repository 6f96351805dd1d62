"""Compiled: splices and breaks, as in ``line.web_joins``."""

from __future__ import annotations

import numpy as np

from linesim.fast.layout import JOINT, SPLICE, USE_BROKEN
from linesim.fast.parts import part
from linesim.fast.rules.calling import add_hold, settle
from linesim.fast.rules.chance import draw, falls
from linesim.fast.rules.cutting import drop_partial_cut, use_paper
from linesim.fast.rules.gate import forget_paper
from linesim.fast.rules.ledger import count_stop
from linesim.fast.rules.reel_stop import in_reel_stop
from linesim.fast.rules.stand import left_on, lose_paper
from linesim.fast.rules.states import DOWN
from linesim.fast.rules.stations import WEB_PATH
from linesim.fast.rules.stoppage import new_stoppage
from linesim.fast.rules.unwind import must_change, prepare_after_break, reels_reached, replaced
from linesim.fast.rules.web_motion import begin_stretch


@part
def splice_at_speed(s):
    """Follows ``WebJoins.splice_at_speed``."""
    for stand in range(s.webs):
        if s.u_wanted[stand] == 0 or s.u_partner[stand] == 0:
            continue
        if s.u_stop >= 0 and in_reel_stop(s, s.u_stop, stand):
            continue
        most = s.w_splice_speed * (1 + 1e-9)
        if s.w_x < s.u_splice_x[stand] or not 0 < s.w_speed <= most:
            continue
        replaced(s, stand)
        s.w_splice_until_x = s.w_x + s.w_splice_um
        count_stop(s, 0, s.u_cause)


@part
def break_web(s, web):
    """Follows ``WebJoins.break_web`` and ``WebBreaks.rethread_ns``."""
    settle(s)
    coast = np.int64(np.rint(s.w_speed / s.w_loss)) if s.w_loss > 0 else 0
    held = falls(s, s.w_clamp[web])
    short, long = draw(s, s.w_held[web]), draw(s, s.w_lost[web])
    rethread = short if held else long
    drop_partial_cut(s)
    forget_paper(s, s.w_cuts, SPLICE, JOINT)
    s.w_soon_n = 0
    s.w_splice_until_x = -1
    gone = 0
    for stand in range(s.webs):
        if s.u_threaded[stand] == 0:
            continue
        s.broken += s.u_path_um
        use_paper(s, USE_BROKEN, s.u_path_um)
        if left_on(s, stand) >= s.u_path_um:
            lose_paper(s, stand, s.u_path_um)
        else:
            s.u_threaded[stand] = 0
            gone |= 1 << stand
    count_stop(s, WEB_PATH, s.w_break_cause)
    i = new_stoppage(
        s,
        -1,
        WEB_PATH,
        s.w_break_cause,
        DOWN,
        s.w_rethread_people,
        s.p_standing_line,
        coast + rethread,
        -1,
    )
    s.w_target = 0.0
    begin_stretch(s, 0.0, 0.0)
    add_hold(s, i)
    prepare_after_break(s)
    for stand in range(s.webs):
        if gone >> stand & 1:
            must_change(s, stand)
    reels_reached(s, s.w_x)
