"""The page as one HTML file. Every text goes through the template's escaping."""

from __future__ import annotations

import re
from base64 import b64encode
from functools import cache
from hashlib import sha256

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from linesim.report.colours import DARK, LIGHT
from linesim.report.page.drawing import Drawing
from linesim.report.page.model import PageModel, PlayerPage
from linesim.report.page.svg import hatch_patterns, svg
from linesim.report.unbroken import unbroken

_PACKAGE = "linesim.report.page"
_SCRIPTS = ("unpack.js", "line.js", "curves.js", "strip.js", "player.js")
NOTICES = {"caution": "Caution.", "invented": "Invented.", "note": "Note."}


def page_html(page: PageModel) -> str:
    """The page as text; it loads nothing and runs no script."""
    template = templates(_PACKAGE).get_template("page.html")
    return template.render(page=page, style=style(_PACKAGE, "page.css"), svg=_svg, notices=NOTICES)


def player_html(page: PlayerPage, run: str) -> str:
    """A page that plays ``run``; it loads nothing, and no script but its own runs in it."""
    script, digest = _script()
    template = templates(_PACKAGE).get_template("player.html")
    return template.render(
        page=page,
        run=run,
        style=style(_PACKAGE, "page.css", "player.css"),
        script=Markup(script),
        digest=digest,
        hatches=Markup(hatch_patterns("on") + hatch_patterns("on", strokes="ink")),
        notices=NOTICES,
    )


def breakable(name: str) -> Markup:
    """A field's name that is broken after a dot or an underscore where it must be.

    >>> print(breakable("bridge.ream_pitch_mm <b>"))
    bridge.<wbr>ream_<wbr>pitch_<wbr>mm &lt;b&gt;
    """
    return Markup(re.sub(r"([._])(?=\w)", r"\1<wbr>", str(escape(name))))


def _svg(drawing: Drawing, name: str) -> Markup:
    # The drawing escapes the texts in it.
    return Markup(svg(drawing, name))


@cache
def templates(package: str) -> Environment:
    """The templates of a package of ours; what is put into one is escaped."""
    environment = Environment(
        loader=PackageLoader(package, "template"),
        autoescape=True,
        undefined=StrictUndefined,
        keep_trailing_newline=True,
    )
    environment.filters["unbroken"] = unbroken
    environment.filters["breakable"] = breakable
    return environment


def style(package: str, *names: str) -> Markup:
    """The colours, and the style sheets of these names beside the templates of a package."""
    return Markup(colour_rules() + "".join(_source(package, name) for name in names))


def _source(package: str, name: str) -> str:
    """A file of our own that goes into a page as it is."""
    loader = templates(package).loader
    assert loader is not None
    return loader.get_source(templates(package), name)[0]


@cache
def _script() -> tuple[str, str]:
    """The script of a page that plays, and its digest, by which a browser knows it."""
    parts = "".join(_source(_PACKAGE, name) for name in _SCRIPTS)
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
