"""How every picture looks: type, sizes, weights of lines. Colours are those of the page.

Sizes are points. A picture is laid out for the width it is printed at: half of a page of A4, or
all of it; text of 8 points is legible on paper and, on a screen, as large as what stands round it.
Trouble is loud: what is normal is grey, with one accent, and what differs by colour differs by
hatch, outline or words, too.
"""

from __future__ import annotations

from typing import Any

from linesim.report.colours import LIGHT

HALF, WHOLE = 240.0, 487.0
"""Widths of a picture: half of a page of A4, and all of it."""

STYLE: dict[str, Any] = {
    "font.family": "DejaVu Sans",
    "font.size": 8.0,
    "axes.labelsize": 8.0,
    "xtick.labelsize": 8.0,
    "ytick.labelsize": 8.0,
    "legend.fontsize": 8.0,
    "legend.frameon": False,
    "legend.handlelength": 1.6,
    "legend.borderpad": 0.0,
    "legend.borderaxespad": 0.3,
    "figure.facecolor": "none",
    "figure.constrained_layout.w_pad": 2 / 72,
    "figure.constrained_layout.h_pad": 5 / 72,
    "axes.facecolor": "none",
    "axes.edgecolor": LIGHT["faint"],
    "axes.labelcolor": LIGHT["quiet"],
    "axes.spines.top": False,
    "axes.spines.right": False,
    "axes.linewidth": 0.8,
    "axes.axisbelow": True,
    "grid.color": LIGHT["grid"],
    "grid.linewidth": 0.8,
    "xtick.color": LIGHT["quiet"],
    "ytick.color": LIGHT["quiet"],
    "xtick.major.size": 0.0,
    "ytick.major.size": 0.0,
    "text.color": LIGHT["ink"],
    # Whatever a user calls a thing is a name, not a formula.
    "text.parse_math": False,
    "path.simplify": False,
}
