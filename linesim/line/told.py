"""What the parts of a line tell each other across the order in which they are written.

The paper moves one way, but the parts tell each other in circles: a full bridge stops the webs,
webs that stand are shown by all. What is defined further on is reached by way of this module, which
looks it up when it is first needed.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from linesim.line.bridge import show_bridge as show_bridge
    from linesim.line.cutting import partial_um as partial_um
    from linesim.line.cutting import sheets_in_pockets as sheets_in_pockets
    from linesim.line.events import dues_found as dues_found
    from linesim.line.events import job_begun as job_begun
    from linesim.line.events import job_waits as job_waits
    from linesim.line.events import paused as paused
    from linesim.line.events import reams_so_far as reams_so_far
    from linesim.line.events import resumed as resumed
    from linesim.line.events import running_so_far as running_so_far
    from linesim.line.floor import settle as settle
    from linesim.line.floor import show as show
    from linesim.line.levels import level_fell as level_fell
    from linesim.line.levels import level_rose as level_rose
    from linesim.line.orders import lose as lose
    from linesim.line.orders import ream_out as ream_out
    from linesim.line.orders import ream_saved as ream_saved
    from linesim.line.orders import set_made as set_made
    from linesim.line.orders import stood_for_change as stood_for_change
    from linesim.line.packing import arrived as arrived
    from linesim.line.packing import move_on as move_on
    from linesim.line.packing import plan_packing as plan_packing
    from linesim.line.packing import settle_packing as settle_packing
    from linesim.line.packing_states import note_idle as note_idle
    from linesim.line.packing_states import outfeed_pauses as outfeed_pauses
    from linesim.line.packing_states import outfeed_runs as outfeed_runs
    from linesim.line.packing_states import root_of_packing as root_of_packing
    from linesim.line.packing_states import show_packing as show_packing
    from linesim.line.packing_states import wrapper_is_blocked as wrapper_is_blocked
    from linesim.line.packing_states import wrapper_runs as wrapper_runs
    from linesim.line.packing_states import wrapper_starves as wrapper_starves
    from linesim.line.reams import saved as saved
    from linesim.line.rework import bring as bring
    from linesim.line.transfer import room as room
    from linesim.line.transfer import set_full as set_full
    from linesim.line.transfer import settle_transfer as settle_transfer
    from linesim.line.transfer import show_transfer as show_transfer
    from linesim.line.unwind import being_replaced as being_replaced
    from linesim.line.unwind import hurry_stand as hurry_stand
    from linesim.line.unwind import must_change as must_change
    from linesim.line.unwind import next_reel_um as next_reel_um
    from linesim.line.unwind import prepare_after_break as prepare_after_break
    from linesim.line.unwind import reel_stop_over as reel_stop_over
    from linesim.line.unwind import reels_reached as reels_reached
    from linesim.line.unwind import replaced as replaced
    from linesim.line.web_joins import splice_holds as splice_holds
    from linesim.line.web_motion import settle_webs as settle_webs
    from linesim.line.web_plan import plan_webs as plan_webs
    from linesim.line.web_states import note_reels as note_reels
    from linesim.line.web_states import show_webs as show_webs
    from linesim.line.webs import add_hold as add_hold
    from linesim.line.webs import level_speed as level_speed
    from linesim.line.webs import new_goods as new_goods
    from linesim.line.webs import release_hold as release_hold
    from linesim.line.webs import set_slow as set_slow
    from linesim.line.webs import set_taken as set_taken
    from linesim.line.webs import splicing as splicing

_WHERE = {
    "partial_um": "cutting",
    "sheets_in_pockets": "cutting",
    "settle_webs": "web_motion",
    "being_replaced": "unwind",
    "hurry_stand": "unwind",
    "must_change": "unwind",
    "next_reel_um": "unwind",
    "prepare_after_break": "unwind",
    "reel_stop_over": "unwind",
    "reels_reached": "unwind",
    "replaced": "unwind",
    "plan_webs": "web_plan",
    "show_bridge": "bridge",
    "room": "transfer",
    "set_full": "transfer",
    "settle_transfer": "transfer",
    "show_transfer": "transfer",
    "note_reels": "web_states",
    "show_webs": "web_states",
    "splice_holds": "web_joins",
    "add_hold": "webs",
    "level_speed": "webs",
    "new_goods": "webs",
    "release_hold": "webs",
    "set_slow": "webs",
    "set_taken": "webs",
    "splicing": "webs",
    "level_fell": "levels",
    "level_rose": "levels",
    "bring": "rework",
    "note_idle": "packing_states",
    "outfeed_pauses": "packing_states",
    "outfeed_runs": "packing_states",
    "root_of_packing": "packing_states",
    "show_packing": "packing_states",
    "wrapper_is_blocked": "packing_states",
    "wrapper_runs": "packing_states",
    "wrapper_starves": "packing_states",
    "saved": "reams",
    "arrived": "packing",
    "move_on": "packing",
    "plan_packing": "packing",
    "settle_packing": "packing",
    "lose": "orders",
    "ream_out": "orders",
    "ream_saved": "orders",
    "set_made": "orders",
    "stood_for_change": "orders",
    "settle": "floor",
    "show": "floor",
    "dues_found": "events",
    "job_begun": "events",
    "job_waits": "events",
    "paused": "events",
    "reams_so_far": "events",
    "resumed": "events",
    "running_so_far": "events",
}


def __getattr__(name: str) -> Any:
    if name not in _WHERE:
        raise AttributeError(name)
    found = getattr(import_module(f"linesim.line.{_WHERE[name]}"), name)
    globals()[name] = found
    return found
