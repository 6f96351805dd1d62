"""How states look, in light and dark."""

from gui.look.current_palette import palette_of
from gui.look.flow import FlowRow
from gui.look.label import PlainLabel, label_of
from gui.look.palette import DARK, LIGHT, Hatch, Palette, StateLook, mixed, state_look
from gui.look.tool_tip import plain_tip

__all__ = [
    "DARK",
    "LIGHT",
    "FlowRow",
    "Hatch",
    "Palette",
    "PlainLabel",
    "StateLook",
    "label_of",
    "mixed",
    "palette_of",
    "plain_tip",
    "state_look",
]
