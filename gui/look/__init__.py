"""How states look, in light and dark."""

from gui.look.palette import DARK, LIGHT, Hatch, Palette, StateLook, state_look

__all__ = ["DARK", "LIGHT", "Hatch", "Palette", "StateLook", "state_look"]
