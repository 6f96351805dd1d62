"""A drawing as an SVG file of its own, in the colours of the page."""

from __future__ import annotations

from html import escape

from linesim.report.page.colours import DARK, LIGHT
from linesim.report.page.drawing import Drawing
from linesim.report.page.svg import svg

_HEAD = 28.0
"""Room for the title, which a page writes beside the drawing."""


def svg_file(drawing: Drawing) -> str:
    """The whole file. It follows the viewer's light or dark, as the page does."""
    inline = svg(drawing, "drawing")
    style = f"{_rules(LIGHT)}@media (prefers-color-scheme:dark){{{_rules(DARK)}}}"
    _, rest = inline.split(">", 1)
    width, height = f"{drawing.width:g}", f"{drawing.height + _HEAD:g}"
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<svg xmlns="http://www.w3.org/2000/svg"'
        f' viewBox="0 {-_HEAD:g} {width} {height}" width="{width}" height="{height}"'
        ' font-family="sans-serif" role="img"'
        ' aria-labelledby="drawing-title drawing-desc">\n'
        f'<style>{style}</style>\n<rect y="{-_HEAD:g}" width="{width}" height="{height}"'
        f' class="f-card"/><text x="12" y="-8" font-size="13.5" font-weight="600"'
        f' class="f-ink">{escape(drawing.title)}</text>{rest}\n'
    )


def _rules(colours: dict[str, str]) -> str:
    return ".f-none{fill:none}.hatch{fill:none}" + "".join(
        f".f-{name}{{fill:{value}}}.s-{name}{{stroke:{value}}}" for name, value in colours.items()
    )
