"""The fonts that come with the program, for a print and for a screen that has none."""

from __future__ import annotations

from importlib.resources import files


def embedded_fonts() -> tuple[bytes, bytes]:
    """DejaVu Sans as TrueType, regular and bold."""
    folder = files("linesim.report") / "page" / "fonts"
    regular, bold = (folder / name for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf"))
    return regular.read_bytes(), bold.read_bytes()
