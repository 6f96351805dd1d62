"""Sheets and reams: their sizes, mass and height."""

from collections.abc import Mapping
from types import MappingProxyType

from linesim.limits import above_zero, whole_from

ISO_216_A: Mapping[str, tuple[int, int]] = MappingProxyType(
    {
        "A0": (841, 1189),
        "A1": (594, 841),
        "A2": (420, 594),
        "A3": (297, 420),
        "A4": (210, 297),
        "A5": (148, 210),
        "A6": (105, 148),
        "A7": (74, 105),
        "A8": (52, 74),
        "A9": (37, 52),
        "A10": (26, 37),
    }
)
"""Trimmed sizes of the ISO 216 A series: name -> (shorter side, longer side) in mm."""


def ream_mass_kg(width_mm: float, length_mm: float, sheets: int, grammage_g_per_m2: float) -> float:
    """Mass in kilograms of the sheets of a ream, without its wrapper.

    >>> round(ream_mass_kg(210, 297, 500, 80), 4)
    2.4948
    """
    above_zero("width_mm", width_mm)
    above_zero("length_mm", length_mm)
    whole_from("sheets", sheets, 1)
    above_zero("grammage_g_per_m2", grammage_g_per_m2)
    return width_mm * length_mm * sheets * grammage_g_per_m2 / 1e9


def reams_per_tonne(
    width_mm: float, length_mm: float, sheets: int, grammage_g_per_m2: float
) -> float:
    """How many reams 1000 kg of paper make if nothing is lost; not rounded.

    >>> round(reams_per_tonne(210, 297, 500, 80), 1)
    400.8
    """
    return 1000 / ream_mass_kg(width_mm, length_mm, sheets, grammage_g_per_m2)


def ream_height_mm(sheets: int, thickness_um: float) -> float:
    """Height in millimetres of a ream of *sheets* pressed together without air.

    >>> ream_height_mm(500, 104)
    52.0
    """
    whole_from("sheets", sheets, 1)
    above_zero("thickness_um", thickness_um)
    return sheets * thickness_um / 1000
