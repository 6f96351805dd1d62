"""How much web a reel holds, and what it weighs.

The end face of a reel is a ring of area pi (D^2 - d^2) / 4; unwound, the same area is a
strip of the web's length and the paper's thickness (ISO 534). This holds for a reel wound
without air between its layers: a softly wound reel holds less.
"""

import math

from linesim.limits import above_zero, zero_or_more


def reel_length_m(diameter_mm: float, core_diameter_mm: float, thickness_um: float) -> float:
    """Length of web, in metres, wound between the core and the outside of a reel.

    pi (D^2 - d^2) / (4 t). A reel no larger than its core holds nothing.

    Raises ``ValueError`` where the reel is smaller than its core, or the core diameter is
    below 0, or the thickness is not above 0.

    >>> round(reel_length_m(1500, 152.4, 104))
    16816
    """
    above_zero("diameter_mm", diameter_mm)
    zero_or_more("core_diameter_mm", core_diameter_mm)
    above_zero("thickness_um", thickness_um)
    if diameter_mm < core_diameter_mm:
        raise ValueError(
            f"diameter_mm is {diameter_mm}, smaller than the core ({core_diameter_mm} mm); "
            "it must be the core diameter or more"
        )
    # Factored, so that a nearly empty reel does not lose its digits to the subtraction.
    ring_mm2 = math.pi * (diameter_mm - core_diameter_mm) * (diameter_mm + core_diameter_mm) / 4
    return ring_mm2 / thickness_um  # mm^2 per um is metres


def reel_diameter_mm(length_m: float, core_diameter_mm: float, thickness_um: float) -> float:
    """Outside diameter, in millimetres, of a reel that holds *length_m* of web.

    The inverse of :func:`reel_length_m`.

    >>> round(reel_diameter_mm(16816, 152.4, 104))
    1500
    """
    zero_or_more("length_m", length_m)
    zero_or_more("core_diameter_mm", core_diameter_mm)
    above_zero("thickness_um", thickness_um)
    return math.sqrt(core_diameter_mm**2 + 4 * length_m * thickness_um / math.pi)


def reel_mass_kg(
    diameter_mm: float,
    core_diameter_mm: float,
    width_mm: float,
    grammage_g_per_m2: float,
    thickness_um: float,
) -> float:
    """Mass in kilograms of the paper on a reel, its core not included.

    Volume times apparent density (grammage by thickness, ISO 534), which is the same as
    length times width times grammage (ISO 536).

    >>> round(reel_mass_kg(1250, 76, 860, 80, 104))
    809
    """
    above_zero("width_mm", width_mm)
    above_zero("grammage_g_per_m2", grammage_g_per_m2)
    area_m2 = reel_length_m(diameter_mm, core_diameter_mm, thickness_um) * width_mm / 1000
    return area_m2 * grammage_g_per_m2 / 1000
