"""A drawing as inline SVG. Colours are classes, so that the page's own light or dark applies."""

from __future__ import annotations

from html import escape

from linesim.report.page.drawing import Circle, Drawing, Mark, Path, Rect, Text

_HATCHES = {
    "left": ("M0 0L6 6", "M-3 3L3 9", "M3 -3L9 3"),
    "right": ("M0 6L6 0", "M-3 3L3 -3", "M3 9L9 3"),
    "cross": ("M0 0L6 6", "M0 6L6 0"),
}


def svg(drawing: Drawing, name: str) -> str:
    """An ``<svg>`` with title and description; ``name`` makes its ids its own on the page."""
    used = sorted({m.hatch for m in drawing.marks if isinstance(m, Rect) and m.hatch})
    patterns = "".join(
        f'<pattern id="{name}-{hatch}" width="6" height="6" patternUnits="userSpaceOnUse">'
        + "".join(f'<path d="{d}" class="hatch"/>' for d in _HATCHES[hatch])
        + "</pattern>"
        for hatch in used
    )
    defs = f"<defs>{patterns}</defs>" if patterns else ""
    marks = "\n".join(_mark(mark, name) for mark in drawing.marks)
    return (
        f'<svg viewBox="0 0 {_n(drawing.width)} {_n(drawing.height)}" role="img"'
        f' aria-labelledby="{name}-title {name}-desc">\n'
        f'<title id="{name}-title">{escape(drawing.title)}</title>\n'
        f'<desc id="{name}-desc">{escape(drawing.description)}</desc>\n'
        f"{defs}{marks}\n</svg>"
    )


def _mark(mark: Mark, name: str) -> str:
    if isinstance(mark, Rect):
        shape = (
            f'<rect x="{_n(mark.x)}" y="{_n(mark.y)}" width="{_n(mark.width)}"'
            f' height="{_n(mark.height)}"' + (f' rx="{_n(mark.round)}"' if mark.round else "")
        )
        found = shape + _look(mark.fill, mark.stroke, mark.thick) + "/>"
        if mark.hatch:
            found += shape + f' fill="url(#{name}-{mark.hatch})"/>'
        return found
    if isinstance(mark, Circle):
        return (
            f'<circle cx="{_n(mark.x)}" cy="{_n(mark.y)}" r="{_n(mark.radius)}"'
            + _look(mark.fill, mark.stroke, mark.thick)
            + "/>"
        )
    if isinstance(mark, Path):
        points = " ".join(f"{_n(x)},{_n(y)}" for x, y in mark.points)
        kind = "polygon" if mark.closed else "polyline"
        dash = ' stroke-dasharray="5 4"' if mark.dashed else ""
        return f'<{kind} points="{points}"{_look(mark.fill, mark.stroke, mark.thick)}{dash}/>'
    return _text(mark)


def _text(mark: Text) -> str:
    weight = ' font-weight="600"' if mark.bold else ""
    anchor = f' text-anchor="{mark.anchor}"' if mark.anchor != "start" else ""
    return (
        f'<text x="{_n(mark.x)}" y="{_n(mark.y)}" font-size="{_n(mark.size)}"{anchor}{weight}'
        f' class="f-{mark.colour}">{escape(mark.text)}</text>'
    )


def _look(fill: str, stroke: str, thick: float) -> str:
    classes = " ".join([f"f-{fill}" if fill else "f-none", *([f"s-{stroke}"] if stroke else [])])
    width = f' stroke-width="{_n(thick)}"' if stroke and thick != 1 else ""
    return f' class="{classes}"{width}'


def _n(value: float) -> str:
    """A length, no finer than a hundredth of a unit."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text
