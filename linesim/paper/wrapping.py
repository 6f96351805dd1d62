"""Wrapping material: the length one ream takes, and the reams one roll lasts for."""

import math

from linesim.limits import above_zero, zero_or_more


def wrap_length_mm(sheet_width_mm: float, ream_height_mm: float, overlap_mm: float) -> float:
    """Length in millimetres of wrapper around one ream: its girth and the overlap.

    The girth runs around the side given as *sheet_width_mm*: pass the other side of the
    sheet where the ream is wrapped the other way.

    >>> wrap_length_mm(210, 52, overlap_mm=20)
    544
    """
    above_zero("sheet_width_mm", sheet_width_mm)
    above_zero("ream_height_mm", ream_height_mm)
    zero_or_more("overlap_mm", overlap_mm)
    return 2 * (sheet_width_mm + ream_height_mm) + overlap_mm


def reams_per_roll(roll_length_m: float, wrap_length_mm: float) -> int:
    """Whole wraps that a roll of wrapping material gives; the rest is too short for one.

    >>> reams_per_roll(roll_length_m=1500, wrap_length_mm=544)
    2757
    """
    zero_or_more("roll_length_m", roll_length_m)
    above_zero("wrap_length_mm", wrap_length_mm)
    # A roll cut to an exact number of wraps must not lose one to binary rounding.
    return math.floor(roll_length_m * 1000 / wrap_length_mm * (1 + 1e-12))
