"""A drawing as SVG. Colours are classes, so that the page's own light or dark applies."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from linesim.report.colours import DARK, LIGHT
from linesim.report.page.drawing import (
    HATCH_OPACITY,
    Circle,
    Drawing,
    Hatch,
    Mark,
    Path,
    Rect,
    Text,
)

_HATCHES: dict[Hatch, tuple[str, ...]] = {
    "left": ("M0 0L6 6", "M-3 3L3 9", "M3 -3L9 3"),
    "right": ("M0 6L6 0", "M-3 3L3 -3", "M3 9L9 3"),
    "cross": ("M0 0L6 6", "M0 6L6 0"),
    "upright": ("M3 0L3 6",),
    "level": ("M0 3L6 3",),
    "square": ("M3 0L3 6", "M0 3L6 3"),
}


def svg(drawing: Drawing, name: str) -> str:
    """An ``<svg>`` to stand in a page; ``name`` makes its ids its own there."""
    box = f"0 0 {_n(drawing.width)} {_n(drawing.height)}"
    return f'<svg viewBox="{box}" {_labelled(name)}>\n{_content(drawing, name)}'


def svg_file(drawing: Drawing) -> str:
    """A file of its own. It follows the viewer's light or dark, as the page does."""
    return _file(drawing, f"{_rules(LIGHT)}@media (prefers-color-scheme:dark){{{_rules(DARK)}}}")


def svg_on_paper(drawing: Drawing) -> str:
    """A file of its own, in light colours."""
    return _file(drawing, _rules(LIGHT))


def _file(drawing: Drawing, style: str) -> str:
    width, height = _n(drawing.width), _n(drawing.height)
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n<svg xmlns="http://www.w3.org/2000/svg"'
        f' viewBox="0 0 {width} {height}" width="{width}pt" height="{height}pt"'
        f' font-family="DejaVu Sans, sans-serif" {_labelled("drawing")}>\n'
        f'<style>{style}</style>\n<rect width="{width}" height="{height}"'
        f' class="f-card"/>\n{_content(drawing, "drawing")}\n'
    )


def _rules(colours: dict[str, str]) -> str:
    return ".f-none{fill:none}" + "".join(
        f".f-{name}{{fill:{value}}}.s-{name}{{stroke:{value}}}" for name, value in colours.items()
    )


def _labelled(name: str) -> str:
    return f'role="img" aria-labelledby="{name}-title {name}-desc"'


def _content(drawing: Drawing, name: str) -> str:
    """Title, description and marks, to the end of the element."""
    hatched = [mark for mark in drawing.marks if isinstance(mark, Rect) and mark.hatch]
    used = sorted({(_strokes(mark), mark.hatch) for mark in hatched})
    patterns = "".join(hatch_patterns(name, [hatch], strokes) for strokes, hatch in used)
    defs = f"<defs>{patterns}</defs>" if patterns else ""
    marks = "\n".join(_mark(mark, name) for mark in drawing.marks)
    return (
        f'<title id="{name}-title">{escape(drawing.title)}</title>\n'
        f'<desc id="{name}-desc">{escape(drawing.description)}</desc>\n'
        f"{defs}{marks}\n</svg>"
    )


def hatch_patterns(
    name: str, hatches: Iterable[Hatch] = tuple(_HATCHES), strokes: str = "hatch"
) -> str:
    """Patterns of these hatches; the id of each is ``name``, its colour and its own name.

    Strokes of the colour ``hatch`` are seen on those of the states, those of ``ink`` on all others.
    """
    look = f'fill="none" opacity="{HATCH_OPACITY}" class="s-{strokes}"'
    return "".join(
        f'<pattern id="{name}-{strokes}-{hatch}" width="6" height="6"'
        ' patternUnits="userSpaceOnUse">'
        + "".join(f'<path d="{d}" {look}/>' for d in _HATCHES[hatch])
        + "</pattern>"
        for hatch in hatches
    )


def _strokes(mark: Rect) -> str:
    return "ink" if mark.fill == "card" else "hatch"


def _mark(mark: Mark, name: str) -> str:
    if isinstance(mark, Text):
        place = _said(x=mark.x, y=mark.y, font_size=mark.size)
        anchor = _said(text_anchor=mark.anchor if mark.anchor != "start" else "")
        turn = f"rotate({_n(-mark.angle)} {_n(mark.x)} {_n(mark.y)})" if mark.angle else ""
        bold = "600" if mark.bold else ""
        look = _said(font_weight=bold, transform=turn, class_=f"f-{mark.colour}")
        return f"<text{place}{anchor}{look}>{escape(mark.text)}</text>"
    classes = f"f-{mark.fill or 'none'}" + (f" s-{mark.stroke}" if mark.stroke else "")
    thick = mark.thick if mark.stroke and mark.thick != 1 else ""
    look = _said(class_=classes, stroke_width=thick)
    if isinstance(mark, Circle):
        return f"<circle{_said(cx=mark.x, cy=mark.y, r=mark.radius)}{look}/>"
    if isinstance(mark, Path):
        points = " ".join(f"{_n(x)},{_n(y)}" for x, y in mark.points)
        dash = _said(stroke_dasharray="5 4" if mark.dashed else "")
        return f"<{'polygon' if mark.closed else 'polyline'}{_said(points=points)}{look}{dash}/>"
    shape = "<rect" + _said(
        x=mark.x, y=mark.y, width=mark.width, height=mark.height, rx=mark.round or ""
    )
    hatch = f'{shape} fill="url(#{name}-{_strokes(mark)}-{mark.hatch})"/>' if mark.hatch else ""
    return f"{shape}{look}/>{hatch}"


def _said(**attributes: str | float) -> str:
    """Attributes as they stand in a tag; what is empty is left out."""
    return "".join(
        f' {name.rstrip("_").replace("_", "-")}="{value if isinstance(value, str) else _n(value)}"'
        for name, value in attributes.items()
        if value != ""
    )


def _n(value: float) -> str:
    """A length, no finer than a hundredth of a unit."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
