"""Web breaks: by the length run, weighted with its speed, or where a weak place gives way."""

from __future__ import annotations

from linesim.line import told
from linesim.line.accounts import DOWN, count_stop
from linesim.line.books import USE_BROKEN, use_paper
from linesim.line.chance import draw, falls
from linesim.line.cutting import drop_partial_cut, forget_paper
from linesim.line.hand_ramp import threaded_anew
from linesim.line.joints import Web, expect_no_break, joints_reached
from linesim.line.line import Line
from linesim.line.machine import WEB_PATH, begin_stoppage
from linesim.line.stand import left_um, lose_paper
from linesim.line.unwind import must_change, reels_reached
from linesim.line.web_motion import SAME_UM, begin_stretch, wear_webs


def break_where_due(line: Line) -> None:
    """Break every web that is due, by a weak place or by the length run."""
    motion, breaks = line.webs.motion, line.webs.breaks
    for web in breaks.soon:
        if motion.place_um >= web.soon_um:
            _break_web(line, web)
            break  # the paper in which others would have broken is gone
    wear_webs(line)
    if breaks.fall_due:
        for web in breaks.webs:
            if motion.worn_um + SAME_UM >= web.due_um:
                web.due_um = motion.worn_um + float(max(1, draw(line, web.gaps))) / web.pace
                _break_web(line, web)


def _break_web(line: Line, web: Web) -> None:
    """A web breaks: the webs stand at once, the paper in the machine is lost on all.

    Re-threading is short where the clamp has held the tail, long where not. What is threaded anew
    may have joints; a reel with too little left to be threaded is replaced.
    """
    told.settle(line)
    motion, breaks, unwind = line.webs.motion, line.webs.breaks, line.webs.unwind
    coast_ns = round(motion.speed / motion.loss) if motion.loss > 0 else 0
    held = falls(line, web.clamp)
    short, long = draw(line, web.held), draw(line, web.lost)
    drop_partial_cut(line, USE_BROKEN)
    forget_paper(line)
    expect_no_break(breaks)
    unwind.splice_until_um = -1
    for stand in unwind.stands:
        if stand.threaded:
            use_paper(line, USE_BROKEN, unwind.path_um)
            stand.threaded = left_um(line, stand) >= unwind.path_um
            if stand.threaded:
                lose_paper(stand, unwind.path_um)
    threaded_anew(line)
    count_stop(line, WEB_PATH, breaks.cause)
    rethread_ns = short if held else long
    stop = begin_stoppage(line, WEB_PATH, breaks.cause, DOWN, coast_ns + rethread_ns)
    stop.people = breaks.people
    stop.who = line.crew.who_rethreads
    stop.priority = line.crew.priority_standing_line
    begin_stretch(line, 0.0, 0.0)
    told.add_hold(line, stop)
    joints_reached(line)
    for stand in unwind.stands:
        if not stand.threaded:
            must_change(line, stand)
    reels_reached(line)
