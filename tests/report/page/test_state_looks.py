"""Hatches are seen: on the page, in a picture as a file, light and dark."""

from __future__ import annotations

import re

import pytest

from linesim.report.colours import DARK, LIGHT
from linesim.report.page.drawing import HATCH_OPACITY, Drawing
from linesim.report.page.state_looks import LOOKS
from linesim.report.page.svg import svg_file
from tests.gui.look.test_palette import contrast, rgb

HATCHED = [(fill, hatch) for fill, hatch in LOOKS.values() if hatch]
_LAID_OVER = re.compile(r'class="f-(\w+)"/><rect[^>]*url\(#(drawing-(\w+)-\w+)\)')


@pytest.mark.parametrize("colours", [LIGHT, DARK])
def test_every_hatch_stands_out_from_what_it_lies_on(colours: dict[str, str]) -> None:
    drawing = Drawing(100, 100, "states", "")
    for fill, hatch in [*HATCHED, ("card", "right")]:
        drawing.rect(0, 0, 10, 10, fill, hatch=hatch)
    text = svg_file(drawing)
    laid_over = _LAID_OVER.findall(text)
    assert len(laid_over) == len(HATCHED) + 1
    for fill, name, strokes in laid_over:
        pattern = text.split(f'<pattern id="{name}"')[1].split("</pattern>")[0]
        assert pattern.count(f'class="s-{strokes}"') == pattern.count("<path") > 0
        assert f".s-{strokes}{{stroke:{colours[strokes]}}}" in text
        parts = zip(rgb(colours[strokes]), rgb(colours[fill]), strict=True)
        seen = [HATCH_OPACITY * above + (1 - HATCH_OPACITY) * below for above, below in parts]
        mixed = "#" + "".join(f"{round(255 * each):02x}" for each in seen)
        assert contrast(mixed, colours[fill]) >= 1.4, (fill, name)
