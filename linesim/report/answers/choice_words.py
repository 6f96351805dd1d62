"""Decisions in plants that agree with what is known, in words."""

from __future__ import annotations

from linesim.statistics import Bounds

_SURE = 0.05


def share_words(share: Bounds) -> str:
    """So many of 100, and between which ends that lies where it is not sure.

    >>> share_words(Bounds(0.83, 0.82, 0.84, 0.95, 10_000))
    '83 of 100'
    >>> share_words(Bounds(0.83, 0.66, 0.93, 0.95, 10_000))
    '83 (66 to 93) of 100'
    >>> share_words(Bounds(1.0, 0.999, 1.0, 0.95, 10_000))
    'more than 99 of 100'
    """
    if max(share.high - share.value, share.value - share.low) >= _SURE:
        ends = f"{100 * share.low:.0f} to {100 * share.high:.0f}"
        return f"{100 * share.value:.0f} ({ends}) of 100"
    if share.value > 0.995:
        return "more than 99 of 100"
    if share.value < 0.005:
        return "fewer than 1 of 100"
    return f"{100 * share.value:.0f} of 100"


PLANTS_NOTE = (
    "Plants that agree with what is known: what is doubted, prices too, is drawn within its ends,"
    " and what the runs leave open with it. In brackets: between which ends the number lies where"
    " the runs do not tell it better."
)
