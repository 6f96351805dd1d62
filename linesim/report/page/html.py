"""The page as one HTML file. Every text goes through the template's escaping."""

from __future__ import annotations

import re
from functools import lru_cache

from jinja2 import Environment, PackageLoader, StrictUndefined, Template
from markupsafe import Markup, escape

from linesim.report.colours import DARK, LIGHT
from linesim.report.page.drawing import Drawing
from linesim.report.page.model import PageModel
from linesim.report.page.svg import svg

_UNIT = re.compile(r"(?<=\d) (?=(?:h|min|s|mm|m|kg|t|%)(?![\w/]))")
NOTICES = {"caution": "Caution.", "invented": "Invented.", "note": "Note."}


def page_html(page: PageModel) -> str:
    """The page as text; it loads nothing and runs no script."""
    template, style = _template()
    return template.render(
        page=page,
        style=Markup(style),
        svg=_svg,
        notices=NOTICES,
    )


def unbroken(text: str) -> str:
    """The text with no line broken between a figure and its interval or its short unit."""
    return _UNIT.sub("\u00a0", text.replace(" ± ", "\u00a0±\u00a0"))


def breakable(name: str) -> Markup:
    """A field's name that is broken after a dot or an underscore where it must be.

    >>> print(breakable("bridge.ream_pitch_mm <b>"))
    bridge.<wbr>ream_<wbr>pitch_<wbr>mm &lt;b&gt;
    """
    return Markup(re.sub(r"([._])(?=\w)", r"\1<wbr>", str(escape(name))))


def _svg(drawing: Drawing, name: str) -> Markup:
    # The drawing escapes the texts in it.
    return Markup(svg(drawing, name))


@lru_cache(maxsize=1)
def _template() -> tuple[Template, str]:
    environment = Environment(
        loader=PackageLoader("linesim.report.page", "template"),
        autoescape=True,
        undefined=StrictUndefined,
        keep_trailing_newline=True,
    )
    environment.filters["unbroken"] = unbroken
    environment.filters["breakable"] = breakable
    assert environment.loader is not None
    css = environment.loader.get_source(environment, "page.css")[0]
    return environment.get_template("page.html"), _colours() + css


def _colours() -> str:
    light = "".join(f"--{name}:{value};" for name, value in LIGHT.items())
    dark = "".join(f"--{name}:{value};" for name, value in DARK.items())
    fills = "".join(
        f".f-{name}{{fill:var(--{name})}}.s-{name}{{stroke:var(--{name})}}" for name in LIGHT
    )
    return (
        f":root{{color-scheme:light dark;{light}}}\n"
        f"@media (prefers-color-scheme:dark){{:root{{{dark}}}}}\n"
        f"@media print{{:root{{color-scheme:light;{light}}}}}\n"
        f"{fills}\n"
    )
