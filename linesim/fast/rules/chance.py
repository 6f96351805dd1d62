"""Compiled: draws from the streams, as in ``line.chance``."""

from __future__ import annotations

from linesim.fast.layout import BLOCK
from linesim.fast.parts import part
from linesim.fast.rules.calling import ask_python, peek


@part
def draw(s, stream):
    """The next value of a stream. Follows ``Stream.draw``."""
    if s.n_const[stream] >= 0:
        return s.n_const[stream]
    if s.n_next[stream] == s.n_have[stream]:
        ask_python(s.refill_at, stream)
    i = s.n_next[stream]
    s.n_next[stream] = i + 1
    return peek(s.draws_at + (stream * BLOCK + i) * 8)


@part
def falls(s, coin):
    """Follows ``Coin.falls``."""
    return draw(s, coin) != 0
