"""The state of a run as one flat record: what the compiled functions read and write.

A field has the name of what it holds in ``linesim.line``; its first letters say whose it is:
``w`` the webs, ``u`` unwinding, ``g`` the gate, ``t`` the transfer, ``b`` the bridge, ``k`` a
wrapper, ``o`` the outfeed, ``m`` any machine, ``c`` a stop cause, ``s`` a stoppage, ``l`` the
ledger. Times are ns, lengths um, both whole numbers.
"""

from __future__ import annotations

from typing import Any

import numpy as np

WEB_COUNT = 20
WRAPPERS = 20
MACHINES = 24
STATIONS = 32
ROOT_STATIONS = 64
"""Numbers of a root's station, that of none included."""
STATE_NUMBERS = 16
LOSSES = 5
CAUSES = 2048
CAUSE_NUMBERS = 4096
STOPPAGES = 512
STOPS_AT_ONCE = 64
"""Stops of one station, or reasons for which the webs stand."""
JOBS = 1024
"""Reams on the rework table."""
STRETCHES = 2048
JOINTS = 256
STOCK = 32
"""Reels of a web fetched at once."""
STOCK_JOINTS = 512
ASIDE = 1024
"""Holds and webs kept for a moment, while others are told of them."""
QUEUE = 8192
"""Sets on the bridge, a power of two."""
PAUSES_AT_ONCE = 16
PAUSE_NAMES = 512
"""As many as a scenario may name: planned work, holidays, breaks, no shift."""
PAUSE_NUMBERS = 6
"""Start, end, name, crew away, people, shift over."""
FORCED = 64
SUMS = 8192
"""Rows of the table of sums, a power of two."""
COUNT_STATE = 15
"""State under which the table of sums counts stops."""
BLOCK = 1024
"""Draws of a stream kept ready at most."""
STREAMS = 2 * CAUSES + 512
CREW_JOBS = STOPPAGES + JOBS + 2 * WEB_COUNT
"""Jobs of the crew at once: each has one of their alarms."""

# Alarms, each with a place of its own.
WEBS_ALARM, TRANSFER_ALARM, BRIDGE_ALARM, PACKING_ALARM, CALENDAR_ALARM, PEOPLE_ALARM = range(6)
PREPARE_ALARM = 8
REEL_ALARM = PREPARE_ALARM + WEB_COUNT
PAUSE_ALARM = REEL_ALARM + WEB_COUNT
FORCED_ALARM = PAUSE_ALARM + PAUSES_AT_ONCE
STOPPAGE_ALARM = FORCED_ALARM + FORCED
JOB_ALARM = STOPPAGE_ALARM + STOPPAGES
CAUSE_ALARM = JOB_ALARM + JOBS
ALARMS = CAUSE_ALARM + CAUSES

# Holds of the webs. Below REEL_STOP: the number of a stoppage.
REEL_STOP = 1000
FULL = 2000
LEVEL = 2001
PAUSE = 2100

# Faults for which a run is given up and made by the other engine.
(
    FINE,
    TOO_MANY_SUMS,
    TOO_MANY_STOPPAGES,
    TOO_MANY_STRETCHES,
    TOO_MANY_PAUSES,
    TOO_MANY_PAUSE_NAMES,
    TOO_MANY_FORCED,
    TOO_MANY_CAUSES,
    TOO_MANY_JOINTS,
    TOO_MANY_STREAMS,
    BACKWARDS,
    LATE,
) = range(12)
FAULTS = {
    TOO_MANY_SUMS: "more kinds of lost time than the compiled engine has room for",
    TOO_MANY_STOPPAGES: "more stops at once than the compiled engine has room for",
    TOO_MANY_STRETCHES: "more stretches of bad paper than the compiled engine has room for",
    TOO_MANY_PAUSES: "more pauses at once than the compiled engine has room for",
    TOO_MANY_PAUSE_NAMES: "more kinds of pauses than the compiled engine has room for",
    TOO_MANY_FORCED: "more forced stops than the compiled engine has room for",
    TOO_MANY_CAUSES: "more causes of lost time than the compiled engine has room for",
    TOO_MANY_JOINTS: "more joints in a reel than the compiled engine has room for",
    TOO_MANY_STREAMS: "more things left to chance than the compiled engine has room for",
    BACKWARDS: "time ran backwards in the compiled engine",
    LATE: "the compiled engine heard of a stop too late",
}

METER_NUMBERS = {
    "every_running_h": 0,
    "every_web_km": 1,
    "every_cuts": 2,
    "every_reams": 3,
    "every_clock_h": 4,
}
RUNNING_H, WEB_KM, CUTS, REAMS, CLOCK_H = range(5)

REASONS = ("after_stop", "spoiled", "splice", "joint", "defect", "no_room")
AFTER_STOP, SPOILED, SPLICE, JOINT, DEFECT, NO_ROOM = range(6)
USES = ("broken", "spoiled", "butts")
USE_BROKEN, USE_SPOILED, USE_BUTTS = range(3)
RULES = ("nearest_free", "in_turn", "second_above_level", "hot_standby")
NEAREST_FREE, IN_TURN, SECOND_ABOVE_LEVEL, HOT_STANDBY = range(4)


def _fields(text: str, *shape: int, kind: Any = np.int64) -> list[tuple[Any, ...]]:
    return [(name, kind, shape) if shape else (name, kind) for name in text.split()]


_NUMBERS = """
    refill_at fetch_at draws_at pauses_at fault
    moment seq active
    free away asked waiting in_hand lays_down hands_over
    p_standing_line p_standing_wrapper p_prepare p_rework
    stations causes minor_ns
    buckets_at bucket_from bucket_ns bucket_count
    wrapped reworked repulped set_aside broken spoiled butts loaded sheets_spoiled
    lanes cut_um cuts_per_ream web_width_um grammage webs
    w_x w_cuts w_run_ns w_sets w_seen_at w_at w_from_x w_until w_cut_x w_cut_number
    w_holds_n w_asked_n w_slow w_splice_until_x w_spoiled_cuts w_after_stand w_full_hold
    w_run_up w_by_level w_by_splice w_by_pace w_pockets_full w_causes w_other_x w_goal_x w_goal_at
    w_other_at w_reams_due w_fine w_bad w_attending w_sets_to_book w_root_s w_root_c
    w_cuts_after_stop w_cuts_per_splice w_cuts_per_joint w_break_cause w_breaks w_soon_n
    w_rethread_people w_splice_um w_fingers
    p_cuts p_on_belt p_full p_hold
    g_n g_defects g_per_defect g_next
    u_paired u_flying u_path_um u_cause u_together_um u_reserve_um u_butt_um u_slow_um u_stop
    u_next_stop
    u_people u_prepare_people u_length u_joints u_from
    t_phase t_carried t_set_waits t_cannot t_ends t_rest t_running_ns t_moves_since t_reams
    b_places b_level b_carried b_sets_aside b_travel b_head b_tail b_lost b_stands_since
    b_heed b_wait
    v_slow_at v_stop_at v_restart_at v_cause v_slowed v_hold
    k_n k_rule k_second_at k_turn k_needs_level k_settled_at k_settling k_was_idle k_one k_pace
    r_places r_lying r_times r_saved r_people r_free_n
    o_there o_waiting o_busy o_ends o_idle_since o_done o_room o_cycle o_run_ns o_began o_stops_at
    o_rest
    d_away d_next d_count d_crew
    s_free_n f_n
    n_at n_what n_who aside_n
    x_possible x_to_place x_cycle x_place x_until
"""
_REALS = """
    speed pace w_speed w_worn w_from_worn w_from_speed w_change w_target w_gain w_loss w_slow_to
    w_splice_speed w_reference w_power
"""

STATE = np.dtype(
    [
        *_fields(_NUMBERS),
        *_fields(_REALS, kind=np.float64),
        *_fields("a_at a_rank a_seq a_place a_list", ALARMS),
        *_fields("j_people j_priority j_asked j_left j_stands", CAUSE_ALARM),
        *_fields("j_waiting j_in_hand", CREW_JOBS),
        *_fields("l_state l_cause l_rs l_rc l_since l_on l_stood l_stopped l_paced", STATIONS),
        *_fields("l_losses", STATIONS, LOSSES),
        *_fields("l_key l_sum", SUMS),
        *_fields("l_kind l_waiting", CAUSE_NUMBERS),
        *_fields("m_stops_n m_running_due m_reams_due m_first m_last", MACHINES),
        *_fields("m_stops", MACHINES, STOPS_AT_ONCE),
        *_fields("c_station c_meter c_number c_working c_people c_priority c_due", CAUSES),
        *_fields(
            "c_interval c_restore c_cuts c_web_um c_pockets c_reams c_left c_next_due", CAUSES
        ),
        *_fields("s_machine s_station s_cause s_state s_working s_people", STOPPAGES),
        *_fields("s_priority s_restore s_of s_free", STOPPAGES),
        *_fields("w_holds w_asked", STOPS_AT_ONCE),
        *_fields("w_dues", 5),
        *_fields("aside", ASIDE),
        *_fields("w_soon_web w_soon_x w_gap w_splice w_joint w_restart w_clamp", WEB_COUNT),
        *_fields("w_held w_lost", WEB_COUNT),
        *_fields("w_due", WEB_COUNT, kind=np.float64),
        *_fields("g_begin g_until g_reason", STRETCHES),
        *_fields("g_rejected", 6),
        *_fields("u_end u_joint_n u_joint_i u_threaded u_partner u_partner_um", WEB_COUNT),
        *_fields("u_stop_x u_splice_x u_wanted u_change u_splice u_prepare u_fails", WEB_COUNT),
        *_fields("u_ask_of", WEB_COUNT),
        *_fields("u_partner_n u_preparing", WEB_COUNT),
        *_fields("u_part", WEB_COUNT, kind=np.float64),
        *_fields("u_joint u_partner_joint", WEB_COUNT, JOINTS),
        *_fields("u_stock_i u_stock_n", WEB_COUNT),
        *_fields("u_stock_um u_stock_joints u_stock_from", WEB_COUNT, STOCK),
        *_fields("u_stock_joint", WEB_COUNT, STOCK_JOINTS),
        *_fields("u_begun u_stands_n u_waiting_people u_waiting_reel u_left", 2),
        *_fields("u_stands", 2, WEB_COUNT),
        *_fields("t_times", 6),
        *_fields("b_at b_reams", QUEUE),
        *_fields("k_busy k_holding k_began k_ends k_stops_at k_idle_since k_done", WRAPPERS),
        *_fields("k_run_ns k_cycle k_rest k_steady k_fast k_catch_at k_times", WRAPPERS),
        *_fields("k_shortest k_roll_due k_roll_reams k_spoil_due k_next_due", WRAPPERS),
        *_fields("k_roll_times k_roll_fails k_spoils k_roll_cause k_roll_stop", WRAPPERS),
        *_fields("k_roll_people k_thrown_away", WRAPPERS),
        *_fields("r_good r_free", JOBS),
        *_fields("d_cause d_pause", PAUSES_AT_ONCE),
        *_fields("d_held", PAUSES_AT_ONCE, MACHINES),
        *_fields("d_number", PAUSE_NAMES),
        *_fields("f_station f_cause f_ns", FORCED),
        *_fields("use_high use_low use_mass use_calls", 3),
        *_fields("n_next n_have n_const", STREAMS),
    ],
    align=True,
)

RUN, SETTLE, CLOSE, FORGET, BEGIN = range(5)
"""What the engine can be told to do."""
