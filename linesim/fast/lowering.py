"""From an assembled line, before its first event, to the flat state of the compiled engine.

The line is assembled by ``linesim.line`` itself: what it starts with, which stop draws from which
stream, the order of causes and priorities are decided there and only copied here.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from linesim.fast import layout
from linesim.fast.feeding import Feeds, must_have_room
from linesim.line.assembly import Line
from linesim.line.calendar import Pause
from linesim.line.clock import HOUR, MINUTE, NEVER, Rank
from linesim.line.machine import Machine
from linesim.line.meters import Cause
from linesim.line.motion import UM_PER_NS
from linesim.line.transfer import Phase
from linesim.record.states import Kind
from linesim.scenario import ForcedStop

_WHERE = ("x", "run_ns", "seen_at", "until", "goal_x", "goal_at")
_HOW_FAST = ("worn", "change", "target", "speed")
_PHASES = (Phase.HOME, Phase.PICK, Phase.CARRY, Phase.AT_BRIDGE, Phase.PLACE, Phase.RETURN)


class Lowered:
    """A line's state as one record, with the streams that feed it."""

    def __init__(
        self,
        line: Line,
        forced: tuple[ForcedStop, ...],
        pauses: list[Pause],
    ) -> None:
        self.line = line
        self.array = np.zeros(1, layout.STATE)
        self.s = self.array[0]
        self.feeds = Feeds(self.s, line.webs.unwind.stands)
        self.pause_names = list(dict.fromkeys(pause.name for pause in pauses))
        must_have_room(len(self.pause_names), layout.PAUSE_NAMES, layout.TOO_MANY_PAUSE_NAMES)
        self._fill(line)
        self._fill_alarms(line, forced, pauses)
        self.feeds.begin()

    # -- the parts ---------------------------------------------------------------------------

    def _set(self, **values: Any) -> None:
        for name, value in values.items():
            self.s[name] = value

    def _fill(self, line: Line) -> None:
        floor, scenario = line.floor, line.floor.scenario
        crew, ledger, goods = scenario.crew, line.ledger, line.webs.goods
        # The pauses are entered as they come, each name once; one number stands for no cause.
        must_have_room(
            len(ledger.causes) + len(self.pause_names),
            layout.CAUSE_NUMBERS - 1,
            layout.TOO_MANY_CAUSES,
        )
        self._set(
            free=floor.crew.free,
            lays_down=floor.crew.lays_down,
            hands_over=floor.crew.hands_over,
            p_standing_line=crew.priority_standing_line,
            p_standing_wrapper=crew.priority_standing_wrapper,
            p_prepare=crew.priority_prepare,
            p_rework=crew.priority_rework,
            stations=len(ledger.stations),
            causes=len(ledger.causes),
            minor_ns=ledger.minor_ns,
            lanes=goods.lanes,
            cut_um=goods.cut_um,
            cuts_per_ream=goods.cuts_per_ream,
            web_width_um=goods.web_width_um,
            grammage=goods.grammage_mg_per_m2,
            speed=goods.speed,
            pace=goods.pace,
            webs=scenario.unwind.webs,
        )
        s = self.s
        for i, key in enumerate(ledger.now_in):
            for name, value in zip(("l_state", "l_cause", "l_rs", "l_rc"), key[1:], strict=True):
                s[name][i] = value
            s["l_since"][i] = ledger.since[i]
            standing = ledger.standing[i]
            s["l_on"][i] = standing is not None
        for i, kind in enumerate(ledger.kinds):
            s["l_kind"][i] = kind
            loss = ledger.waiting_loss[i]
            s["l_waiting"][i] = -1 if loss is None else loss
        self._fill_causes(line)
        self._fill_webs(line)
        self._fill_unwind(line)
        self._fill_packing(line)

    def _fill_causes(self, line: Line) -> None:
        causes = list(line.webs.stops.causes)
        self.s["w_causes"] = len(causes)
        for i, machine in enumerate(line.machines):
            self.s["m_first"][i] = len(causes)
            causes += machine.causes
            self.s["m_last"][i] = len(causes)
            self.s["m_running_due"][i] = machine.running_due
            self.s["m_reams_due"][i] = machine.reams_due
        self.causes: list[Cause] = causes
        for i, cause in enumerate(causes):
            stop = cause.stop
            web_um = round(stop.spoils_web_m * 1e6) if stop.spoils_web_m else -1
            values = {
                "c_station": cause.station,
                "c_meter": layout.METER_NUMBERS[cause.meter],
                "c_number": cause.number,
                "c_working": cause.working,
                "c_people": stop.people,
                "c_priority": cause.priority,
                "c_due": cause.due,
                "c_left": -1 if cause.left is None else cause.left,
                "c_interval": self.feeds.number_of(cause.interval),
                "c_restore": self.feeds.number_of(cause.restore),
                "c_cuts": stop.spoils_cuts,
                "c_web_um": web_um,
                "c_pockets": stop.spoils_pockets,
                "c_reams": stop.spoils_reams,
            }
            for name, value in values.items():
                self.s[name][i] = value

    def _fill_webs(self, line: Line) -> None:
        w, scenario, s = line.webs, line.floor.scenario, self.s
        path, gate, breaks = scenario.web_path, w.cutting.gate, w.breaks
        motion, plan, cutting, states = w.motion, w.plan, w.cutting, w.states
        for name in (*_WHERE, *_HOW_FAST):
            s["w_" + name] = getattr(motion, name)
        for name in ["at", "from_x", "from_worn", "from_speed", "gain", "loss"]:
            s["w_" + name] = getattr(motion, name)
        self._set(
            w_cuts=cutting.cuts,
            w_sets=cutting.reams,
            w_cut_x=cutting.begun_x,
            w_cut_number=cutting.begun_number,
            w_splice_until_x=w.joins.splice_until_x,
            w_spoiled_cuts=w.stops.spoiled_cuts,
            w_run_up=states.cause_run_up,
            w_by_level=states.cause_level,
            w_by_splice=states.cause_splice,
            w_by_pace=states.cause_pace,
            w_pockets_full=w.cause_pockets_full,
            w_other_x=plan.other_x,
            w_other_at=plan.other_at,
            w_reams_due=plan.reams_due,
            w_slow=w.slow,
            w_after_stand=w.after_stand,
        )
        s["w_root_s"], s["w_root_c"] = states.root
        for meter, number in layout.METER_NUMBERS.items():
            s["w_dues"][number] = w.stops.dues[meter]
        self._set(
            w_cuts_after_stop=scenario.gate.cuts_after_stop,
            w_cuts_per_splice=scenario.gate.cuts_per_splice,
            w_cuts_per_joint=scenario.gate.cuts_per_joint,
            w_break_cause=breaks.cause,
            w_breaks=bool(breaks.due),
            w_rethread_people=path.rethread_people,
            w_splice_um=round(scenario.unwind.splice_length_m * 1e6),
            w_fingers=w.pockets.interim_fingers,
            w_slow_to=scenario.bridge.slow_to_fraction,
            w_splice_speed=scenario.unwind.splice_speed_m_per_min * UM_PER_NS,
            w_reference=breaks.reference,
            w_power=breaks.power,
            p_hold=w.pockets.hold_cuts,
            g_per_defect=gate.cuts_per_defect,
            g_next=NEVER if gate.next_defect is None else gate.next_defect,
        )
        must_have_room(len(gate.stretches), layout.STRETCHES, layout.TOO_MANY_STRETCHES)
        for i, (begin, until, reason) in enumerate(gate.stretches):
            s["g_begin"][i], s["g_until"][i] = begin, until
            s["g_reason"][i] = layout.REASONS.index(reason)
        s["g_n"] = len(gate.stretches)
        if gate.defects is not None:
            s["g_defects"] = self.feeds.number_of(gate.defects)
        for web in range(scenario.unwind.webs):
            if breaks.due:
                s["w_due"][web] = breaks.due[web]
                gaps = breaks.gaps[web]
                assert gaps is not None
                s["w_gap"][web] = self.feeds.number_of(gaps)
            for name in ("splice", "joint", "restart", "clamp", "held", "lost"):
                s["w_" + name][web] = self.feeds.number_of(getattr(breaks, name)[web])

    def _fill_unwind(self, line: Line) -> None:
        u, table, s = line.webs.unwind, line.floor.scenario.unwind, self.s
        self._set(
            u_paired=u.paired,
            u_flying=u.flying,
            u_path_um=u.path_um,
            u_cause=u.cause,
            u_together_um=u.together_um,
            u_reserve_um=u.reserve_um,
            u_butt_um=u.butt_um,
            u_slow_um=u.slow_um,
            u_stop=-1,
            u_people=table.splice_people if u.paired else table.change_people,
            u_prepare_people=table.prepare_people,
        )
        for web, stand in enumerate(u.stands):
            s["u_part"][web] = u.part_said(stand)
            s["u_end"][web] = stand.end_x
            s["u_stop_x"][web] = stand.stop_x
            s["u_splice_x"][web] = stand.splice_x
            s["u_threaded"][web] = stand.threaded
            partner = stand.partner.joints_um if stand.partner is not None else ()
            most = max(len(stand.joints_x), len(partner))
            must_have_room(most, layout.JOINTS, layout.TOO_MANY_JOINTS)
            s["u_joint_n"][web] = len(stand.joints_x)
            s["u_joint"][web, : len(stand.joints_x)] = stand.joints_x
            if stand.partner is not None:
                s["u_partner"][web] = 1
                s["u_partner_um"][web] = stand.partner.length_um
                s["u_partner_n"][web] = len(partner)
                s["u_partner_joint"][web, : len(partner)] = partner
            s["u_change"][web] = self.feeds.number_of(stand.change_times)
            s["u_splice"][web] = self.feeds.number_of(stand.splice_times)
            s["u_prepare"][web] = self.feeds.number_of(stand.prepare_times)
            s["u_fails"][web] = self.feeds.number_of(stand.splice_luck)

    def _fill_packing(self, line: Line) -> None:
        t, b, k, levels, s = line.transfer, line.bridge, line.packing, line.levels, self.s
        for i, phase in enumerate(_PHASES):
            if phase in t.times:
                s["t_times"][i] = self.feeds.number_of(t.times[phase])
        cruise = line.cruise
        self._set(
            t_phase=_PHASES.index(t.phase),
            t_cannot=t.cause_cannot,
            b_places=b.places,
            b_sets_aside=b.sets_aside,
            b_travel=b.travel_ns,
            b_heed=b.heed_level,
            b_wait=b.wait_level,
            v_slow_at=-1 if levels.slow_at is None else levels.slow_at,
            v_stop_at=-1 if levels.stop_at is None else levels.stop_at,
            v_restart_at=-1 if levels.restart_at is None else levels.restart_at,
            v_cause=levels.cause,
            k_n=len(k.wrappers),
            k_rule=layout.RULES.index(k.divert.rule),
            k_second_at=k.divert.second_at,
            k_turn=k.divert.turn,
            k_needs_level=k.needs_level,
            k_was_idle=k.was_idle,
            k_one=k.many is not None,
            k_pace=k.states.pace,
            r_places=k.steps.rework.table.places,
            r_times=self.feeds.number_of(k.steps.rework.times),
            r_saved=self.feeds.number_of(k.steps.rework.saved),
            r_people=k.steps.rework.table.people,
            o_stops_at=NEVER,
            x_possible=cruise.possible,
            x_to_place=cruise.to_place,
            x_cycle=cruise.cycle,
        )
        for i, w in enumerate(k.wrappers):
            values = {
                "stops_at": w.stops_at,
                "steady": w.steady,
                "fast": w.fast,
                "catch_at": -1 if w.catch_up_at is None else w.catch_up_at,
                "times": -1 if w.times is None else self.feeds.number_of(w.times),
                "shortest": w.shortest,
                "roll_due": w.roll_due,
                "roll_reams": w.roll_reams or 0,
                "spoil_due": w.spoil_due,
                "next_due": w.next_due,
                "roll_times": self.feeds.number_of(w.roll_times),
                "roll_fails": self.feeds.number_of(w.roll_fails),
                "spoils": -1 if w.spoils is None else self.feeds.number_of(w.spoils),
                "roll_cause": w.roll_cause,
                "roll_stop": w.table.roll_change == "stop",
                "roll_people": w.table.roll_change_people,
            }
            for name, value in values.items():
                s["k_" + name][i] = value
        if line.outfeed is not None:
            self._set(o_there=1, o_room=line.outfeed.buffer_reams, o_cycle=line.outfeed.cycle)
        s["r_free"][:] = np.arange(layout.JOBS)
        s["r_free_n"] = layout.JOBS
        s["s_free"][:] = np.arange(layout.STOPPAGES)
        s["s_free_n"] = layout.STOPPAGES

    # -- alarms --------------------------------------------------------------------------------

    def _fill_alarms(self, line: Line, forced: tuple[ForcedStop, ...], pauses: list[Pause]) -> None:
        s = self.s
        s["a_at"][:] = NEVER
        s["a_place"][:] = -1
        ranks: list[tuple[Machine, int]] = [(line.transfer, Rank.TRANSFER)]
        ranks += [(line.bridge, Rank.BRIDGE)]
        ranks += [(m, Rank.WRAPPING) for m in line.machines[2:]]
        rank_of = {id(cause): rank for machine, rank in ranks for cause in machine.causes}
        for i, cause in enumerate(self.causes):
            if cause.meter == "every_clock_h":
                self._alarm(layout.CAUSE_ALARM + i, rank_of.get(id(cause), Rank.WEB), cause.due)
        self._alarm(layout.BRIDGE_ALARM, Rank.BRIDGE, line.bridge.alarm.at)
        self._alarm(layout.PACKING_ALARM, Rank.WRAPPING, line.packing.alarm.at)
        self._alarm(layout.TRANSFER_ALARM, Rank.TRANSFER, line.transfer.alarm.at)
        numbers = {name: number for number, name in enumerate(self.pause_names)}
        rows = [
            (p.start, p.end, numbers[p.name], int(p.crew_away), p.people, int(p.shift_over))
            for p in pauses
        ]
        self._pauses = np.array(rows, dtype=np.int64).reshape(-1, layout.PAUSE_NUMBERS)
        self._set(pauses_at=self._pauses.ctypes.data, d_count=len(rows))
        s["d_pause"][:] = -1
        s["d_number"][:] = -1
        if pauses:
            self._alarm(layout.CALENDAR_ALARM, Rank.CALENDAR, pauses[0].start)
        self._fill_forced(line, forced)
        self._alarm(layout.WEBS_ALARM, Rank.WEB, line.webs.plan.alarm.at)

    def _fill_forced(self, line: Line, forced: tuple[ForcedStop, ...]) -> None:
        s, names, number = self.s, line.ledger.stations, 0
        for stop in forced:
            targets = [i for i, name in enumerate(names) if name == stop.station]
            if not targets and stop.station == "wrapper":
                targets = [wrapper.station for wrapper in line.wrappers]
            must_have_room(number + len(targets), layout.FORCED, layout.TOO_MANY_FORCED)
            for target in targets:
                s["f_station"][number] = target
                s["f_cause"][number] = line.ledger.cause(stop.cause, Kind.STOP)
                s["f_ns"][number] = round(stop.minutes * MINUTE)
                at = line.floor.run_in_ns + round(stop.at_h * HOUR)
                self._alarm(layout.FORCED_ALARM + number, Rank.FORCED, at)
                number += 1

    def _alarm(self, alarm: int, rank: int, at: int) -> None:
        s = self.s
        s["a_rank"][alarm] = rank
        if at >= NEVER:
            return
        place = int(s["active"])
        s["a_at"][alarm], s["a_seq"][alarm], s["a_place"][alarm] = at, s["seq"], place
        s["a_list"][place] = alarm
        s["active"] = place + 1
        s["seq"] += 1
