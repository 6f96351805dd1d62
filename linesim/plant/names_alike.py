"""How like two names of a log are: spelling, order of words, and what tells machines apart."""

from __future__ import annotations

import re

from linesim.plant.log_columns import plain
from linesim.scenario.spelling import likeness

ALIKE, LOOKS_ALIKE = 0.8, 0.7
"""Likeness from which a name is taken for another, and from which it is asked whether it is."""
_TELLING = re.compile(r"\d+|\b\w\b")
"""Numbers and single letters tell one machine from the next: no slip of the keys."""
_WEB = re.compile(r"\b(web|bahn) \d+\b")


def bare(text: str) -> str:
    """A name without case, accents, signs, and the number of the web."""
    return " ".join(_WEB.sub("", plain(text)).split())


def names_alike(one: str, other: str) -> float:
    """1 for the same words in any order, 0 where different numbers tell them apart.

    >>> names_alike("jam, Wrapper", "wrapper jam"), names_alike("lane 1", "lane 2")
    (1.0, 0.0)
    """
    one, other = bare(one), bare(other)
    if one == other:
        return 1.0
    if sorted(_TELLING.findall(one)) != sorted(_TELLING.findall(other)):
        return 0.0
    ordered = (" ".join(sorted(one.split())), " ".join(sorted(other.split())))
    return max(likeness(one, other), likeness(*ordered))
