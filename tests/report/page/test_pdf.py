"""The page in print: opens, holds the same, carries its fonts, and lets no long text break it."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

import pytest
from pypdf import PdfReader
from pypdf.generic import ContentStream

from linesim.report.page.model import FigureBlock, Grid, Paragraph, Section
from linesim.report.page.page import ReportPage
from tests.report.page.pages import HOSTILE, NAMES, hostile_page


@pytest.fixture(scope="module")
def page() -> ReportPage:
    return hostile_page()


@pytest.fixture(scope="module")
def data(page: ReportPage) -> bytes:
    return page.pdf()


def text_of(data: bytes) -> str:
    reader = PdfReader(BytesIO(data))
    said = " ".join(sheet.extract_text() for sheet in reader.pages)
    return " ".join(said.replace("\u00a0", " ").split())


def every_cell(page: ReportPage) -> list[str]:
    return [
        cell
        for section in page.model.sections
        for block in section.blocks
        if isinstance(block, Grid)
        for row in block.rows
        for cell in row
    ]


def test_it_holds_what_the_page_holds(page: ReportPage, data: bytes):
    said = text_of(data).replace(" ", "")
    front = page.model.front
    for text in (front.question, front.answer, front.caution, *(r.text for r in front.risks)):
        assert text.replace(" ", "") in said
    for section in page.model.sections:
        assert section.title.replace(" ", "") in said
        for block in section.blocks:
            if isinstance(block, Paragraph):
                assert "".join(block.text.split()) in said
    cells = every_cell(page)
    assert len(cells) > 400
    missing = [cell for cell in cells if "".join(cell.split()) not in said]
    # A row that runs over to another page has the foot of the page in its midst.
    assert len(missing) <= len(PdfReader(BytesIO(data)).pages)


def test_signs_and_names_of_other_scripts_are_there(data: bytes):
    said = text_of(data)
    for text in ("±", "–", "²", HOSTILE[:8], "Ψηλή", "линия"):
        assert text in said
    assert NAMES in said


def test_pages_are_numbered_and_sections_are_in_the_outline(page: ReportPage, data: bytes):
    reader = PdfReader(BytesIO(data))
    count = len(reader.pages)
    for number, sheet in enumerate(reader.pages, 1):
        assert f"page {number} of {count}" in sheet.extract_text()
    titles = [entry.title for entry in reader.outline if not isinstance(entry, list)]
    model = page.model
    assert titles == ["To sign", *(section.title for section in model.sections)]
    assert reader.metadata is not None
    assert reader.metadata.title == model.title


def test_fonts_are_embedded_and_figures_are_no_pictures(data: bytes):
    for sheet in PdfReader(BytesIO(data)).pages:
        resources = sheet["/Resources"].get_object()
        for font in resources.get("/Font", {}).values():
            font = font.get_object()
            if font["/Subtype"] == "/Type0":
                font = font["/DescendantFonts"][0].get_object()
            assert "DejaVu" in str(font["/BaseFont"])
            assert "/FontFile2" in font["/FontDescriptor"].get_object()
        assert not list(sheet.images)


def test_figures_carry_their_words_as_alternate_text_and_in_print(page: ReportPage, data: bytes):
    reader = PdfReader(BytesIO(data))
    found = [
        str(operands[1]["/Alt"])
        for sheet in reader.pages
        for operands, operator in ContentStream(sheet.get_contents(), reader).operations
        if operator == b"BDC"
    ]
    drawn = [page.model.front.chart.drawing] + [
        block.drawing
        for section in page.model.sections
        for block in section.blocks
        if isinstance(block, FigureBlock)
    ]
    assert found == [f"{drawing.title}. {drawing.description}" for drawing in drawn]
    said = text_of(data).partition("The figures in words")[2].replace(" ", "")
    for drawing in drawn:
        # The foot of a page may stand in the midst of one.
        assert "".join(drawing.description.split())[:40] in said


def test_the_same_report_is_the_same_to_the_byte(data: bytes):
    assert hostile_page().pdf() == data


def test_a_sign_that_the_font_lacks_is_said(page: ReportPage):
    section = Section("odd", "Odd", (Paragraph("名"),))
    model = replace(page.model, evidence=(section,), appendix=())
    said = text_of(ReportPage(model).pdf())
    assert "\ufffd" in said
    assert "Some signs in names are not in the font of this print" in said


def test_texts_longer_than_a_page_are_broken_and_not_refused(page: ReportPage):
    long = "word " * 1500
    unbroken = "x" * 5000
    grid = Grid("Long", ("a", "b"), ((long, "1"), ("short", unbroken)), frozenset({0, 1}))
    section = Section("long", "Long", (Paragraph(long), grid))
    model = replace(page.model, evidence=(section,), appendix=())
    data = ReportPage(model).pdf()
    assert len(PdfReader(BytesIO(data)).pages) > 4
    assert text_of(data).count("word") == 2 * 1500


def test_no_figure_and_no_word_is_broken_in_a_table_that_has_room_for_it(page: ReportPage):
    money = ("one more wrapper", "450,000", "250,000 ± 90,000", "1,200,000 ± 600,000")
    more = ("11,800,000 ± 400,000", "840,000 to 1,510,000", "1.8 ± 0.6")
    row = (*money, *more, "transfer gripper", "common practice, " * 9)
    grid = Grid("Money", tuple("abcdefghi"), (row,), frozenset({0, 7, 8}))
    section = Section("wide", "Wide", (grid,))
    model = replace(page.model, evidence=(section,), appendix=())
    (_, sheet) = PdfReader(BytesIO(ReportPage(model).pdf())).pages
    said = sheet.extract_text().replace("\u00a0", " ").splitlines()
    for whole in ("450,000", "250,000 ± 90,000", "1,200,000 ± 600,000", "11,800,000 ± 400,000"):
        assert whole in said
    assert [
        word for word in ("transfer", "gripper") if not any(word in line for line in said)
    ] == []
