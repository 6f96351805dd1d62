"""One answer on paper: all that it says, in both forms, and nothing to sign."""

from __future__ import annotations

from html import unescape
from io import BytesIO
from xml.etree import ElementTree

from pypdf import PdfReader

from linesim.report.page.answer_page import answer_page
from linesim.report.page.model import Grid
from tests.report.page.pages import HOSTILE, hostile_line, study
from tests.report.page.test_pdf import text_of

STALE = "The scenario has changed since this answer was made."


def test_an_answer_on_paper_has_all_it_says_and_no_room_for_names():
    page = answer_page(hostile_line(), study(), [STALE])
    data = page.pdf()
    said = text_of(data).replace(" ", "")
    text = page.rich_text()
    plain = unescape(text.html)
    (section,) = page.model.sections
    (grid,) = (block for block in section.blocks if isinstance(block, Grid))
    wanted = [*study().words, STALE, grid.title, *(cell for row in grid.rows for cell in row)]
    for each in wanted:
        assert "".join(each.split()) in said
        assert "".join(each.split()) in "".join(plain.split())
    for shown in (text_of(data), text.html, page.html()):
        assert "Prepared" not in shown
        assert "To sign" not in shown
    assert answer_page(hostile_line(), study(), [STALE]).pdf() == data
    assert len(PdfReader(BytesIO(data)).pages) == 1


def test_its_pictures_stand_in_the_text_and_no_name_is_taken_for_mark_up():
    text = answer_page(hostile_line(), study()).rich_text()
    assert len(text.pictures) == len(study().charts)
    for name, chart in zip(text.pictures, study().charts, strict=True):
        assert f'src="{name}"' in text.html
        drawn = ElementTree.fromstring(text.pictures[name])
        assert chart.title in "".join(drawn.itertext())
        assert b"prefers-color-scheme" not in text.pictures[name]
    assert HOSTILE not in text.html
