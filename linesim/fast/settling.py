"""Compiled: catching up, roots and states shown. Follows ``gate``, ``webs``, ``transfer``."""

# mypy: disable-error-code="no-untyped-def,no-untyped-call,untyped-decorator,call-arg,attr-defined"
from __future__ import annotations

import math

import numpy as np

from linesim.fast.accounts import (
    BLOCKED,
    CHANGEOVER,
    PLANNED,
    RUNNING,
    SLOWED,
    STARVED,
    WAITING_PEOPLE,
    WAITING_REEL,
    draw,
    enter,
)
from linesim.fast.calling import move_on
from linesim.fast.layout import (
    DEFECT,
    FULL,
    HOT_STANDBY,
    LEVEL,
    NO_ROOM,
    PAUSE,
    REEL_STOP,
    SECOND_ABOVE_LEVEL,
    STRETCHES,
    TOO_MANY_STRETCHES,
)
from linesim.fast.parts import part
from linesim.line.holds import FULL_HOLD, LEVEL_HOLD
from linesim.record.states import Kind
from linesim.scenario import WEB_STATIONS

WEBS_N = len(WEB_STATIONS)
CUTTER = WEB_STATIONS.index("cutter")
TRANSFER, BRIDGE, WRAPPER = 0, 1, 2
"""Machines, in the order of their stations; the outfeed is the last."""
HOME, PICK, CARRY, AT_BRIDGE, PLACE, RETURN = range(6)
_RATE = int(Kind.RATE)


# -- gate ------------------------------------------------------------------------------------


@part
def _insert(s, begin, until, reason):
    if s.g_n >= STRETCHES:
        s.fault = TOO_MANY_STRETCHES
        return
    i = s.g_n
    while i > 0 and s.g_begin[i - 1] > begin:
        s.g_begin[i] = s.g_begin[i - 1]
        s.g_until[i] = s.g_until[i - 1]
        s.g_reason[i] = s.g_reason[i - 1]
        i -= 1
    s.g_begin[i] = begin
    s.g_until[i] = until
    s.g_reason[i] = reason
    s.g_n += 1


@part
def reject(s, first, count, reason):
    end = first + count
    i = 0
    while i < s.g_n:
        begin, until = s.g_begin[i], s.g_until[i]
        i += 1
        if until <= first:
            continue
        if begin >= end:
            break
        if begin > first:
            _insert(s, first, begin, reason)
            i += 1
        first = until
    if first < end:
        _insert(s, first, end, reason)


@part
def forget_paper(s, after, reason_a, reason_b):
    kept = 0
    for i in range(s.g_n):
        begin, until, reason = s.g_begin[i], s.g_until[i], s.g_reason[i]
        if reason in (reason_a, reason_b) and until > after:
            if begin >= after:
                continue
            until = after
        s.g_begin[kept] = begin
        s.g_until[kept] = until
        s.g_reason[kept] = reason
        kept += 1
    s.g_n = kept


@part
def _all_pass(s, until):
    return s.g_n == 0 and s.g_next >= until


@part
def _find_defects(s, until):
    while s.g_next < until and s.fault == 0:
        reject(s, s.g_next, s.g_per_defect, DEFECT)
        s.g_next += max(1, draw(s, s.g_defects))


@part
def cut_with_good(s, made, good):
    end = made + good
    if _all_pass(s, end):
        return end
    while s.fault == 0:
        _find_defects(s, end)
        bad = 0
        for i in range(s.g_n):
            if s.g_until[i] > made and s.g_begin[i] < end:
                bad += min(s.g_until[i], end) - max(s.g_begin[i], made)
        if made + good + bad == end:
            return end
        end = made + good + bad
    return end


@part
def pass_cuts(s, made, now_made):
    if _all_pass(s, now_made):
        return now_made - made
    _find_defects(s, now_made)
    bad = gone = 0
    for i in range(s.g_n):
        if s.g_begin[i] >= now_made:
            break
        count = min(s.g_until[i], now_made) - max(s.g_begin[i], made)
        if count > 0:
            bad += count
            s.g_rejected[s.g_reason[i]] += count
        if s.g_until[i] <= now_made:
            gone += 1
    if gone > 0:
        for i in range(gone, s.g_n):
            s.g_begin[i - gone] = s.g_begin[i]
            s.g_until[i - gone] = s.g_until[i]
            s.g_reason[i - gone] = s.g_reason[i]
        s.g_n -= gone
    return now_made - made - bad


# -- webs ------------------------------------------------------------------------------------


@part
def ceil(value: float):
    return math.ceil(value)


@part
def run_down_length(speed: float, to_speed: float, loss: float):
    if loss == 0.0 or speed <= to_speed:
        return 0
    return ceil((speed * speed - to_speed * to_speed) / (2 * loss))


@part
def pass_made(s, cuts):
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
def settle_webs(s):
    now = s.moment
    if now == s.w_seen_at:
        return
    if not (s.w_change != 0.0 or s.w_from_speed > 0.0):
        s.w_seen_at = now
        return
    dt = now - s.w_at
    x = max(s.w_x, s.w_from_x + np.int64((s.w_from_speed + 0.5 * s.w_change * dt) * dt + 0.5))
    if now >= s.w_goal_at and x + 2 >= s.w_goal_x:
        x = max(x, s.w_goal_x)
    if now >= s.w_until:
        s.w_speed = s.w_target
    elif s.w_change != 0.0:
        s.w_speed = s.w_from_speed + s.w_change * dt
    s.w_run_ns += now - s.w_seen_at
    s.w_seen_at = now
    s.w_x = x
    cuts = s.w_cut_number + (x - s.w_cut_x) // s.cut_um
    if cuts > s.w_cuts:
        pass_made(s, cuts)


@part
def standing(s):
    return s.w_speed == 0.0 and s.w_change == 0.0


@part
def splicing(s):
    for stand in range(s.webs):
        if s.u_wanted[stand] != 0:
            return True
    return s.w_x < s.w_splice_until_x


@part
def _bits(mask):
    count = 0
    while mask:
        mask &= mask - 1
        count += 1
    return count


@part
def hold_station(s, hold):
    if hold < REEL_STOP:
        return s.s_station[hold]
    if hold < FULL:
        return 0
    if hold == FULL:
        return FULL_HOLD
    return LEVEL_HOLD if hold == LEVEL else -1


@part
def hold_cause(s, hold):
    if hold < REEL_STOP:
        return s.s_cause[hold]
    if hold < FULL:
        return s.u_cause
    if hold == FULL:
        return s.w_pockets_full
    return s.v_cause if hold == LEVEL else s.d_cause[hold - PAUSE]


@part
def hold_state(s, hold):
    if hold < REEL_STOP:
        return s.s_state[hold]
    if hold < FULL:
        i = hold - REEL_STOP
        waiting = s.u_waiting_people[i] | s.u_waiting_reel[i]
        if s.u_begun[i] == 0 or _bits(s.u_left[i]) > _bits(waiting):
            return CHANGEOVER
        return WAITING_PEOPLE if s.u_waiting_people[i] else WAITING_REEL
    return PLANNED if hold >= PAUSE else BLOCKED


@part
def root_at(station, cause):
    """A station and a cause in one number; either may be -1."""
    return ((station + 1) << 16) + cause + 1


@part
def station_of(root):
    return (root >> 16) - 1


@part
def cause_of(root):
    return (root & 65535) - 1


@part
def own_root(s, machine):
    return root_at(WEBS_N + machine, s.s_cause[s.m_stops[machine, 0]])


@part
def stands(s, machine):
    return s.m_stops_n[machine] > 0


@part
def outfeed_machine(s):
    return WRAPPER + s.k_n


@part
def root_of_blocked(s):
    o = outfeed_machine(s)
    if stands(s, o):
        return own_root(s, o)
    return root_at(WEBS_N + o, 0)


@part
def root_of_packing(s):
    if stands(s, BRIDGE):
        return own_root(s, BRIDGE)
    for w in range(s.k_n):
        if stands(s, WRAPPER + w):
            return own_root(s, WRAPPER + w)
    for w in range(s.k_n):
        if s.k_holding[w]:
            return root_of_blocked(s)
    return root_at(WEBS_N + WRAPPER, 0)


@part
def root_before_bridge(s):
    if stands(s, TRANSFER):
        return own_root(s, TRANSFER)
    return root_at(s.w_root_s, s.w_root_c)


@part
def _root_beyond_webs(s):
    if stands(s, TRANSFER):
        return own_root(s, TRANSFER)
    if s.w_holds_n > 0 and s.w_holds[0] == LEVEL:
        return root_of_packing(s)
    if s.t_phase == AT_BRIDGE:
        return root_of_packing(s)
    return root_at(WEBS_N + TRANSFER, s.t_cannot)


@part
def _slow_cause(s):
    if s.w_holds_n > 0:
        return hold_cause(s, s.w_holds[0])
    if s.w_change > 0:
        return s.w_run_up
    if splicing(s):
        return s.w_by_splice
    if s.w_slow or s.w_change < 0:
        return s.w_by_level
    return 0


@part
def _find_root(s):
    if not standing(s):
        return root_at(CUTTER, _slow_cause(s))
    if s.w_holds_n == 0:
        return root_at(CUTTER, 0)
    first = s.w_holds[0]
    if hold_state(s, first) == BLOCKED:
        return _root_beyond_webs(s)
    return root_at(max(hold_station(s, first), 0), hold_cause(s, first))


@part
def show_webs(s):
    root = _find_root(s)
    s.w_root_s, s.w_root_c = station_of(root), cause_of(root)
    now = s.moment
    if not standing(s):
        full = s.w_change == 0.0 and s.w_speed >= s.speed
        state = RUNNING if full else SLOWED
        cause = 0 if full else _slow_cause(s)
        for station in range(WEBS_N):
            enter(s, station, now, state, cause, -1, -1)
        return
    if s.w_holds_n == 0:
        return
    for i in range(s.w_holds_n):
        if hold_state(s, s.w_holds[i]) == PLANNED:
            for station in range(WEBS_N):
                enter(s, station, now, PLANNED, hold_cause(s, s.w_holds[i]), -1, -1)
            return
    first = s.w_holds[0]
    blocked = hold_state(s, first) == BLOCKED
    at = hold_station(s, first)
    rs, rc = s.w_root_s, s.w_root_c
    for station in range(WEBS_N):
        own = -1
        for i in range(s.w_holds_n):
            if hold_station(s, s.w_holds[i]) == station:
                own = s.w_holds[i]
                break
        if own >= 0:
            enter(s, station, now, hold_state(s, own), hold_cause(s, own), -1, -1)
        elif blocked or station < at:
            enter(s, station, now, BLOCKED, rc, rs, rc)
        else:
            enter(s, station, now, STARVED, rc, rs, rc)


# -- transfer --------------------------------------------------------------------------------


@part
def move_transfer_on(s):
    now = s.moment
    if stands(s, TRANSFER) or s.t_phase == HOME or s.t_phase == AT_BRIDGE:
        return
    until = min(now, s.t_ends)
    if until > s.t_moves_since:
        s.t_running_ns += until - s.t_moves_since
        s.t_moves_since = until
    if s.t_phase == RETURN and now >= s.t_ends and s.t_set_waits == 0:
        s.t_phase = HOME


@part
def settle_transfer(s):
    move_transfer_on(s)
    if s.t_phase == HOME and not stands(s, TRANSFER) and s.t_ends < s.moment:
        station = WEBS_N + TRANSFER
        if s.l_state[station] == RUNNING:
            enter(s, station, s.t_ends, STARVED, s.w_root_c, s.w_root_s, s.w_root_c)


@part
def _show_stop(s, machine):
    if not stands(s, machine):
        return False
    which = s.m_stops[machine, 0]
    for i in range(s.m_stops_n[machine]):
        if s.s_state[s.m_stops[machine, i]] == PLANNED:
            which = s.m_stops[machine, i]
            break
    enter(s, WEBS_N + machine, s.moment, s.s_state[which], s.s_cause[which], -1, -1)
    return True


@part
def _show_transfer(s):
    if _show_stop(s, TRANSFER):
        return
    station, now = WEBS_N + TRANSFER, s.moment
    if s.t_phase == AT_BRIDGE:
        root = root_of_packing(s)
        enter(s, station, now, BLOCKED, cause_of(root), station_of(root), cause_of(root))
    elif s.t_phase == HOME:
        if s.t_ends >= now and s.l_state[station] == RUNNING:
            return
        enter(s, station, now, STARVED, s.w_root_c, s.w_root_s, s.w_root_c)
    else:
        enter(s, station, now, RUNNING, 0, -1, -1)


# -- packing ---------------------------------------------------------------------------------


@part
def root_of_starved(s, w):
    if stands(s, BRIDGE):
        return own_root(s, BRIDGE)
    if w > 0 and not stands(s, WRAPPER):
        below = s.k_rule == SECOND_ABOVE_LEVEL and 0 < s.b_level < s.k_second_at
        kept = below or s.k_rule == HOT_STANDBY
    else:
        kept = False
    if kept:
        return root_at(WEBS_N + WRAPPER, 0)
    if s.b_level > 0:
        station = WEBS_N + WRAPPER + w
        if s.l_state[station] == STARVED and s.l_kind[s.l_rc[station]] != _RATE:
            return root_at(s.l_rs[station], s.l_rc[station])
    return root_before_bridge(s)


@part
def root_of_idle_outfeed(s):
    for w in range(s.k_n):
        if stands(s, WRAPPER + w):
            return own_root(s, WRAPPER + w)
    if stands(s, BRIDGE):
        return own_root(s, BRIDGE)
    return root_before_bridge(s)


@part
def note_idle(s, now):
    for w in range(s.k_n):
        if s.k_busy[w] or stands(s, WRAPPER + w) or s.k_holding[w] or s.k_idle_since[w] >= now:
            continue
        station = WEBS_N + WRAPPER + w
        if s.l_state[station] == RUNNING:
            root = root_of_starved(s, w)
            enter(
                s,
                station,
                s.k_idle_since[w],
                STARVED,
                cause_of(root),
                station_of(root),
                cause_of(root),
            )
    if s.o_there == 0 or s.o_busy or stands(s, outfeed_machine(s)):
        return
    if s.o_idle_since + s.k_pace >= now:
        return
    station = WEBS_N + outfeed_machine(s)
    if s.l_state[station] == RUNNING:
        root = root_of_idle_outfeed(s)
        enter(s, station, s.o_idle_since, STARVED, cause_of(root), station_of(root), cause_of(root))


@part
def _show_packing(s):
    now = s.moment
    note_idle(s, now)
    for w in range(s.k_n):
        if _show_stop(s, WRAPPER + w):
            continue
        station = WEBS_N + WRAPPER + w
        if s.k_holding[w]:
            root = root_of_blocked(s)
            enter(s, station, now, BLOCKED, cause_of(root), station_of(root), cause_of(root))
        elif s.k_busy[w]:
            enter(s, station, now, RUNNING, 0, -1, -1)
        elif s.l_state[station] != RUNNING:
            root = root_of_starved(s, w)
            enter(s, station, now, STARVED, cause_of(root), station_of(root), cause_of(root))
    if s.o_there == 0 or _show_stop(s, outfeed_machine(s)):
        return
    station = WEBS_N + outfeed_machine(s)
    if s.o_busy:
        enter(s, station, now, RUNNING, 0, -1, -1)
    elif s.l_state[station] != RUNNING:
        root = root_of_idle_outfeed(s)
        enter(s, station, now, STARVED, cause_of(root), station_of(root), cause_of(root))


# -- the floor -------------------------------------------------------------------------------


@part
def settle_all(s):
    settle_webs(s)
    settle_transfer(s)
    if s.k_settling == 0:
        move_on(s)
        note_idle(s, s.moment)


@part
def show_all(s):
    show_webs(s)
    if not _show_stop(s, BRIDGE):
        enter(s, WEBS_N + BRIDGE, s.moment, RUNNING, 0, -1, -1)
    _show_transfer(s)
    _show_packing(s)
