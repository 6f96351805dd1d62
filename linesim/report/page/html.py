"""The page as one HTML file. Every text goes through the template's escaping."""

from __future__ import annotations

import re
from base64 import b64encode
from functools import lru_cache
from hashlib import sha256

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from linesim.report.colours import DARK, LIGHT
from linesim.report.page.drawing import Drawing
from linesim.report.page.model import PageModel, PlayerPage
from linesim.report.page.svg import hatch_patterns, svg

_UNIT = re.compile(r"(?<=\d) (?=(?:h|min|s|mm|m|kg|t|%)(?![\w/]))")
_SCRIPTS = ("unpack.js", "line.js", "strip.js", "player.js")
NOTICES = {"caution": "Caution.", "invented": "Invented.", "note": "Note."}


def page_html(page: PageModel) -> str:
    """The page as text; it loads nothing and runs no script."""
    style = _style("page.css")
    return (
        _environment()
        .get_template("page.html")
        .render(
            page=page,
            style=Markup(style),
            svg=_svg,
            notices=NOTICES,
        )
    )


def player_html(page: PlayerPage, run: str) -> str:
    """A page that plays ``run``; it loads nothing, and no script but its own runs in it."""
    script, digest = _script()
    style = _style("page.css", "player.css")
    return (
        _environment()
        .get_template("player.html")
        .render(
            page=page,
            run=run,
            style=Markup(style),
            script=Markup(script),
            digest=digest,
            hatches=Markup(hatch_patterns("hatch") + hatch_patterns("wait")),
            notices=NOTICES,
        )
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
def _environment() -> Environment:
    environment = Environment(
        loader=PackageLoader("linesim.report.page", "template"),
        autoescape=True,
        undefined=StrictUndefined,
        keep_trailing_newline=True,
    )
    environment.filters["unbroken"] = unbroken
    environment.filters["breakable"] = breakable
    return environment


def _source(name: str) -> str:
    """A file of our own that goes into a page as it is."""
    loader = _environment().loader
    assert loader is not None
    return loader.get_source(_environment(), name)[0]


def _style(*names: str) -> str:
    return colour_rules() + "".join(_source(name) for name in names)


@lru_cache(maxsize=1)
def _script() -> tuple[str, str]:
    """The script of a page that plays, and its digest, by which a browser knows it."""
    parts = "".join(_source(name) for name in _SCRIPTS)
    script = f'(() => {{\n"use strict";\n{parts}}})();\n'
    return script, b64encode(sha256(script.encode()).digest()).decode()


def colour_rules() -> str:
    """The colours as variables of CSS, light and dark, and a class for each."""
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
