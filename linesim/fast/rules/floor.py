"""Compiled: everybody up to this moment, as in ``line.floor``."""

from __future__ import annotations

from linesim.fast.parts import part
from linesim.fast.rules.bridge import show_bridge
from linesim.fast.rules.packing import move_on
from linesim.fast.rules.packing_states import note_idle, show_packing
from linesim.fast.rules.transfer import settle_transfer, show_transfer
from linesim.fast.rules.web_motion import settle_webs
from linesim.fast.rules.web_states import show_webs


@part
def settle(s):
    """Follows ``Floor.settle`` and ``Packing.settle``."""
    settle_webs(s)
    settle_transfer(s)
    if s.k_settling == 0:
        move_on(s)
        note_idle(s, s.moment)


@part
def show(s):
    """Follows ``Floor.show``."""
    show_webs(s)
    show_bridge(s)
    show_transfer(s)
    show_packing(s)
