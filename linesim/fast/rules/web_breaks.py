"""Compiled: breaks about to happen, as in ``line.web_breaks``."""

from __future__ import annotations

from linesim.fast.parts import part

SOON_UM = 1_000_000


@part
def expect_break(s, web, x):
    """Follows ``WebBreaks.expect``."""
    for i in range(s.w_soon_n):
        if s.w_soon_web[i] == web:
            s.w_soon_x[i] = min(s.w_soon_x[i], x)
            return
    s.w_soon_web[s.w_soon_n] = web
    s.w_soon_x[s.w_soon_n] = x
    s.w_soon_n += 1
