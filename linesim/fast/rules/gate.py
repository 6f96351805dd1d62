"""Compiled: the reject gate, as in ``line.gate``."""

from __future__ import annotations

from linesim.fast.layout import DEFECT, STRETCHES, TOO_MANY_STRETCHES
from linesim.fast.parts import part
from linesim.fast.rules.chance import draw


@part
def _insert(s, begin, until, reason):
    """For compiled code: one more of ``Gate.stretches``, which stay in order."""
    if s.g_n >= STRETCHES:
        s.fault = TOO_MANY_STRETCHES
        return
    i = s.g_n
    while i > 0 and s.g_begin[i - 1] > begin:
        s.g_begin[i] = s.g_begin[i - 1]
        s.g_until[i] = s.g_until[i - 1]
        s.g_reason[i] = s.g_reason[i - 1]
        i -= 1
    s.g_begin[i] = begin
    s.g_until[i] = until
    s.g_reason[i] = reason
    s.g_n += 1


@part
def reject(s, first, count, reason):
    """Follows ``Gate.reject``."""
    end = first + count
    i = 0
    while i < s.g_n:
        begin, until = s.g_begin[i], s.g_until[i]
        i += 1
        if until <= first:
            continue
        if begin >= end:
            break
        if begin > first:
            _insert(s, first, begin, reason)
            i += 1
        first = until
    if first < end:
        _insert(s, first, end, reason)


@part
def forget_paper(s, after, reason_a, reason_b):
    """Follows ``Gate.forget``."""
    kept = 0
    for i in range(s.g_n):
        begin, until, reason = s.g_begin[i], s.g_until[i], s.g_reason[i]
        if reason in (reason_a, reason_b) and until > after:
            if begin >= after:
                continue
            until = after
        s.g_begin[kept] = begin
        s.g_until[kept] = until
        s.g_reason[kept] = reason
        kept += 1
    s.g_n = kept


@part
def _all_pass(s, until):
    """Follows ``Gate._all_pass``."""
    return s.g_n == 0 and s.g_next >= until


@part
def _find_defects(s, until):
    """Follows ``Gate._find_defects``."""
    while s.g_next < until and s.fault == 0:
        reject(s, s.g_next, s.g_per_defect, DEFECT)
        s.g_next += max(1, draw(s, s.g_defects))


@part
def cut_with_good(s, made, good):
    """Follows ``Gate.cut_with_good``."""
    end = made + good
    if _all_pass(s, end):
        return end
    while s.fault == 0:
        _find_defects(s, end)
        bad = 0
        for i in range(s.g_n):
            if s.g_until[i] > made and s.g_begin[i] < end:
                bad += min(s.g_until[i], end) - max(s.g_begin[i], made)
        if made + good + bad == end:
            return end
        end = made + good + bad
    return end


@part
def pass_cuts(s, made, now_made):
    """Follows ``Gate.pass_cuts``."""
    if _all_pass(s, now_made):
        return now_made - made
    _find_defects(s, now_made)
    bad = gone = 0
    for i in range(s.g_n):
        if s.g_begin[i] >= now_made:
            break
        count = min(s.g_until[i], now_made) - max(s.g_begin[i], made)
        if count > 0:
            bad += count
            s.g_rejected[s.g_reason[i]] += count
        if s.g_until[i] <= now_made:
            gone += 1
    if gone > 0:
        for i in range(gone, s.g_n):
            s.g_begin[i - gone] = s.g_begin[i]
            s.g_until[i - gone] = s.g_until[i]
            s.g_reason[i - gone] = s.g_reason[i]
        s.g_n -= gone
    return now_made - made - bad
