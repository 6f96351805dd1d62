"""Compiled: what the controls do at certain levels of the bridge, as in ``line.levels``."""

from __future__ import annotations

from linesim.fast.layout import LEVEL
from linesim.fast.parts import part
from linesim.fast.rules.bridge import wait_for_level
from linesim.fast.rules.transfer import room
from linesim.fast.rules.webs import add_hold, release_hold, set_slow


@part
def level_rose(s):
    """Follows ``Levels._rose``."""
    level = s.b_level
    if s.v_slow_at >= 0 and s.v_slowed == 0 and level >= s.v_slow_at:
        s.v_slowed = 1
        set_slow(s, 1)
        wait_for_level(s, s.v_slow_at - 1)
    if s.v_stop_at >= 0 and s.v_hold == 0 and level >= s.v_stop_at:
        s.v_hold = 1
        add_hold(s, LEVEL)
        wait_for_level(s, s.v_restart_at)


@part
def level_fell(s):
    """Follows ``Levels.fell``."""
    level = s.b_level
    if s.v_slowed and s.v_slow_at >= 0:
        if level < s.v_slow_at:
            s.v_slowed = 0
            set_slow(s, 0)
        else:
            wait_for_level(s, s.v_slow_at - 1)
    if s.v_hold:
        if level <= s.v_restart_at:
            s.v_hold = 0
            release_hold(s, LEVEL)
        else:
            wait_for_level(s, s.v_restart_at)
    room(s)
