"""Compiled: what the line itself counts, as in ``line.assembly``."""

from __future__ import annotations

from linesim.fast.parts import part
from linesim.fast.rules.calling import peek, poke


@part
def count_good(s, at):
    """Follows ``Line._count``."""
    if s.bucket_count > 0 and at >= s.bucket_from:
        bucket = min((at - s.bucket_from) // s.bucket_ns, s.bucket_count - 1)
        place = s.buckets_at + bucket * 8
        poke(place, peek(place) + 1)
