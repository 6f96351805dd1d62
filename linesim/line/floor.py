"""Everybody up to this moment.

Some parts run ahead of no one but lag behind: what they did since the last event is worked out
when somebody needs it. Whoever changes what others can see calls ``settle`` first (all catch up to
now) and ``show`` afterwards (the accounts take up the new states).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.line import told

if TYPE_CHECKING:
    from linesim.line.line import Line


def settle(line: Line) -> None:
    """Bring every part up to this moment."""
    told.settle_webs(line)
    told.settle_transfer(line)
    told.settle_packing(line)


def show(line: Line) -> None:
    """Enter every part's state, as it is from this moment on."""
    told.show_webs(line)
    told.show_bridge(line)
    told.show_transfer(line)
    told.show_packing(line)
