"""Words that are spelt nearly alike: which known name somebody meant.

Distances are those of rapidfuzz: optimal string alignment (Damerau 1964), in which two letters that
have changed places are one mistake.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from rapidfuzz.distance import OSA

_LONGEST = 100
_SAME_WORD, _SAME_LONG_WORD, _LONG = 0.76, 0.7, 7
"""One mistake in a word of five letters, none in one of four: so short, another word is as near.
Two in a long one."""
_METRIC = {"um", "mm", "cm", "m", "km", "s", "min", "h", "g", "kg", "m2"}
_UNITS = _METRIC | {"per", "ream", "reams", "cuts", "year"}
_PARTS = re.compile(r"[\W_]+")


def likeness(one: str, other: str) -> float:
    """1 for the same text, less by the share of letters that are wrong, 0 for nothing in common.

    >>> likeness("splice", "splcie") == 1 - 1 / 6
    True
    """
    return OSA.normalized_similarity(one, other)


def nearest(word: str, known: Sequence[str]) -> str | None:
    """The known name that *word* most likely meant, if any is near.

    A name is near where all words of the one are words of the other but for a slip of the keys,
    units left aside: a unit in common says nothing.

    >>> nearest("lenght_mm", ["length_m", "ream_pitch_mm"])
    'length_m'
    >>> nearest("every_km", ["every_cuts", "every_reams", "every_web_km"])
    'every_web_km'
    >>> nearest("speed_m_per_min", ["rate_reams_per_min", "sheets_per_ream"]) is None
    True
    """
    if len(word) > _LONGEST:
        return None
    # Units tell names apart where they are all that does: of every_km and every_web_km, say.
    parts = set(_PARTS.split(word.lower()))
    whole = [name for name in known if parts < set(_PARTS.split(name.lower()))]
    if len(parts) > 1 and len(whole) == 1:
        return whole[0]
    near = [(_nearness(word, name), likeness(word, name), name) for name in known]
    best = max(near, key=lambda each: each[:2], default=(0.0, 0.0, None))
    return best[2] if best[0] > 0 else None


def _nearness(word: str, name: str) -> float:
    one, other = _words_of(word), _words_of(name)
    if len(one) == len(other) and all(map(_slip, one, other)):
        return likeness(" ".join(one), " ".join(other))
    joined = likeness("".join(one), "".join(other))
    if len(one) != len(other) and joined > _SAME_WORD:
        return joined
    # A part of the name says which is meant; so does the name with something added.
    part = len(one) <= len(other)
    few, many = (one, other) if part else (other, one)
    if not few or not all(any(_begins(a, b, part) for b in many) for a in few):
        return 0.0
    share = sum(map(len, few)) / sum(map(len, many))
    return _SAME_WORD * share if part or share >= 0.5 else 0.0


def _words_of(name: str) -> list[str]:
    words = [word for word in _PARTS.split(name.lower()) if word]
    kept = list(words)
    while len(kept) > 1 and kept[-1] in _UNITS:
        kept.pop()
    return kept


def _slip(one: str, other: str) -> bool:
    long = max(len(one), len(other)) >= _LONG
    return likeness(one, other) >= (_SAME_LONG_WORD if long else _SAME_WORD)


def _begins(one: str, other: str, begun: bool) -> bool:
    return (begun and len(one) > 2 and other.startswith(one)) or likeness(one, other) > 0.8
