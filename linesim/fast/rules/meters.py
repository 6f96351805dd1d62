"""Compiled: stop causes at work, as in ``line.meters``."""

from __future__ import annotations

from linesim.fast.parts import part
from linesim.fast.rules.chance import draw


@part
def cause_falls(s, c, reading):
    """Follows ``Cause.fall``."""
    s.c_due[c] = reading + max(1, draw(s, s.c_interval[c]))
    return draw(s, s.c_restore[c])
