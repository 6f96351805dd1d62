"""How states look, in light and dark."""

from gui.look.following import palette_of
from gui.look.palette import DARK, LIGHT, Hatch, Palette, StateLook, mixed, state_look

__all__ = ["DARK", "LIGHT", "Hatch", "Palette", "StateLook", "mixed", "palette_of", "state_look"]
