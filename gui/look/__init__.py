"""How states look, in light and dark."""

from gui.look.current_palette import palette_of
from gui.look.flow import FlowRow
from gui.look.fold_button import fold_button
from gui.look.label import PlainLabel, label_of, placeholder_label, title_label, wrapped_label
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
    "fold_button",
    "label_of",
    "mixed",
    "palette_of",
    "placeholder_label",
    "plain_tip",
    "state_look",
    "title_label",
    "wrapped_label",
]
