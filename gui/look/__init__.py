"""How everything looks: colours, letters, distances, icons, and what pages are made of."""

from gui.look.buttons import PrimaryButton
from gui.look.card import Card
from gui.look.current_palette import palette_of
from gui.look.figures import one_decimal
from gui.look.find_row import FindRow
from gui.look.flow import FlowRow
from gui.look.focus_ring import RING, draw_focus
from gui.look.fold_button import fold_button
from gui.look.icons import draw_icon, program_icon, set_icon
from gui.look.kept_sizes import FRAME, KEPT, KeptColumns
from gui.look.label import (
    ColumnLabel,
    ElidedLabel,
    FaultLabel,
    FigureLabel,
    PageTitle,
    PlainLabel,
    QuietLabel,
    WallFigure,
    WallText,
    label_of,
    placeholder_label,
    wrapped_label,
)
from gui.look.palette import DARK, LIGHT, Hatch, Palette, StateLook, calm, mixed, state_look
from gui.look.spacing import APART, CLOSE, FAR, NEAR, spaced
from gui.look.theme import COLOURS, colours_in_use, qt_palette, use_colours
from gui.look.tool_tip import plain_tip
from gui.look.type import (
    TEXT_SIZES,
    ensure_usable_font,
    fixed_font,
    line_px,
    text_size,
    use_text_size,
    wall_size,
)
from gui.look.wrapped_header import WrappedHeader

__all__ = [
    "APART",
    "CLOSE",
    "COLOURS",
    "DARK",
    "FAR",
    "FRAME",
    "KEPT",
    "LIGHT",
    "NEAR",
    "RING",
    "TEXT_SIZES",
    "Card",
    "ColumnLabel",
    "ElidedLabel",
    "FaultLabel",
    "FigureLabel",
    "FindRow",
    "FlowRow",
    "Hatch",
    "KeptColumns",
    "PageTitle",
    "Palette",
    "PlainLabel",
    "PrimaryButton",
    "QuietLabel",
    "StateLook",
    "WallFigure",
    "WallText",
    "WrappedHeader",
    "calm",
    "colours_in_use",
    "draw_focus",
    "draw_icon",
    "ensure_usable_font",
    "fixed_font",
    "fold_button",
    "label_of",
    "line_px",
    "mixed",
    "one_decimal",
    "palette_of",
    "placeholder_label",
    "plain_tip",
    "program_icon",
    "qt_palette",
    "set_icon",
    "spaced",
    "state_look",
    "text_size",
    "use_colours",
    "use_text_size",
    "wall_size",
    "wrapped_label",
]
