"""Compiled: many sets in one loop, as in ``line.cruise``."""

from __future__ import annotations

from linesim.fast.layout import TRANSFER_ALARM, WEBS_ALARM
from linesim.fast.parts import part
from linesim.fast.rules.bridge import put_down
from linesim.fast.rules.clock import RANK_TRANSFER, RANK_WEB, first_alarm, set_alarm
from linesim.fast.rules.cutting import pass_made
from linesim.fast.rules.gate import cut_with_good
from linesim.fast.rules.machine import stands
from linesim.fast.rules.motion import ceil
from linesim.fast.rules.packing import fed, move_on, undisturbed_until
from linesim.fast.rules.stations import BRIDGE, HOME, RETURN, TRANSFER
from linesim.fast.rules.transfer import move_transfer_on, transfer_runs
from linesim.fast.rules.web_plan import plan_webs
from linesim.line.clock import NEVER


@part
def _leave(s, sets):
    """Follows ``Cruise._leave`` and ``Transfer.on_its_way_home``."""
    if sets > 0:
        back = s.x_cycle - s.x_to_place
        s.t_phase = RETURN
        s.t_running_ns -= back
        s.t_moves_since = s.t_ends - back
        set_alarm(s, TRANSFER_ALARM, RANK_TRANSFER, NEVER)
        fed(s)


@part
def cruise(s):
    """Follows ``Cruise.run``."""
    if s.x_possible == 0 or stands(s, BRIDGE) or s.b_wait >= 0:
        return False
    if s.w_change != 0.0 or s.w_holds_n > 0 or s.p_on_belt > 0:
        return False
    if stands(s, TRANSFER) or s.t_set_waits:
        return False
    move_transfer_on(s)
    if s.t_phase != HOME:
        return False
    first = first_alarm(s)
    horizon = min(s.x_until, undisturbed_until(s))
    if first >= 0:
        horizon = min(horizon, s.a_at[first])
    room_up_to = min(s.b_places, s.b_heed - 1)
    lanes = s.lanes
    most = min(
        (s.w_reams_due - s.w_sets - 1) // lanes,
        (s.m_running_due[TRANSFER] - s.t_running_ns) // max(1, s.x_cycle),
        (s.m_reams_due[TRANSFER] - s.t_reams - 1) // lanes,
        (s.m_reams_due[BRIDGE] - s.b_carried - 1) // lanes,
    )
    sets = 0
    while True:
        now = s.w_seen_at
        s.moment = now
        if sets >= most or now < s.t_ends or now + s.x_to_place >= horizon:
            break
        if s.b_level + lanes > room_up_to:
            move_on(s)
            if s.b_level + lanes > room_up_to:
                break
        sets += 1
        s.w_sets += lanes
        s.w_sets_to_book += 1
        s.p_cuts = 0
        transfer_runs(s)
        s.t_ends = now + s.x_cycle
        s.t_running_ns += s.x_cycle
        s.t_reams += lanes
        put_down(s, now + s.x_to_place, lanes)
        number = cut_with_good(s, s.w_cuts, s.cuts_per_ream)
        x = s.w_cut_x + (number - s.w_cut_number) * s.cut_um
        at = s.w_at + ceil((x - s.w_from_x) / s.w_from_speed)
        if at >= horizon or at >= s.w_other_at or x >= s.w_other_x:
            plan_webs(s)
            _leave(s, sets)
            return True
        s.w_run_ns += at - s.w_seen_at
        s.w_seen_at = at
        s.w_x = x
        pass_made(s, number)
    set_alarm(s, WEBS_ALARM, RANK_WEB, s.w_seen_at)
    _leave(s, sets)
    return sets > 0
