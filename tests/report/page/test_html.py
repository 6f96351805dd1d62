"""The page on the screen: all there, nothing from outside, no text of the user's taken for code."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from itertools import pairwise

import pytest

from linesim.report import words
from linesim.report.plain import CAUTION_IN_SHORT, CAUTIONS
from linesim.report.story import story
from linesim.version import __version__
from tests.report.page.pages import HOSTILE, NAMES, hostile_page, hostile_runs

_VOID = {"wbr", "meta", "br", "img", "link", "input", "hr", "source"}


class Tree(HTMLParser):
    """Checks that every element is closed in turn; keeps elements and the text within them."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[tuple[str, str]] = []
        self.faults: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in _VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.faults.append(tag)

    def handle_data(self, data: str) -> None:
        if self.open:
            self.texts.append((self.open[-1], data))


@pytest.fixture(scope="module")
def html() -> str:
    return hostile_page().html()


@pytest.fixture(scope="module")
def tree(html: str) -> Tree:
    found = Tree()
    found.feed(html)
    found.close()
    return found


def text_of(tree: Tree) -> str:
    said = "".join(data for tag, data in tree.texts if tag != "style")
    return " ".join(said.split())


def test_every_element_is_closed_in_turn(tree: Tree):
    assert tree.faults == []
    assert tree.open == []


def test_what_is_signed_comes_first_and_in_order(tree: Tree):
    (question,) = (data for tag, data in tree.texts if tag == "h1")
    assert question == f"Shall we buy {HOSTILE}?"
    headings = [data for tag, data in tree.texts if tag == "h2"]
    assert headings[:4] == ["In money", "In one picture", "Three risks", "To sign"]
    assert headings.index("What the words mean") > headings.index("How sure that is") > 3
    rows = [data for tag, data in tree.texts if tag == "th"]
    assert rows[rows.index("Prepared") :][:3] == ["Prepared", "Checked", "Decided"]


def test_headings_go_down_one_level_at_a_time(tree: Tree):
    levels = [int(tag[1]) for tag, _ in tree.elements if re.fullmatch(r"h\d", tag)]
    assert levels[0] == 1
    assert all(then <= now + 1 for now, then in pairwise(levels))


def test_figures_are_those_of_the_runs(tree: Tree):
    said = text_of(tree)
    runs = hostile_runs()
    assert runs.measure("good_reams_per_hour").text() in said
    assert words.percent(runs.measure("oee")) in said
    assert " ".join(story(runs).text.split()) in said
    assert "With 21 places it makes 321,000 ± 17,000." in said
    assert "620 ± 80" in said
    assert "~ −10 ± 40" in said


def test_what_is_needed_to_repeat_it_is_there(tree: Tree):
    said = text_of(tree)
    assert f"linesim {__version__}, seed 7, 3 runs (numbers 0 to 2) of 1 h" in said
    assert "linesim report 'a b.toml' --seed 7 -o report.html" in said
    assert re.search(r"\b[0-9a-f]{64}\b", said)


def test_cautions_and_the_mark_of_invented_data_are_there(tree: Tree):
    said = text_of(tree)
    assert all(caution in said for caution in CAUTIONS)
    assert said.index(f"Invented data. {CAUTION_IN_SHORT}") < said.index("The evidence:")


def test_names_stand_as_they_were_written_and_are_no_code(html: str, tree: Tree):
    assert HOSTILE in text_of(tree)
    assert NAMES in text_of(tree)
    assert "{{ 7*7 }} %}" in text_of(tree)
    assert "<b>measured</b> & 'written' down" in text_of(tree)
    tags = {tag for tag, _ in tree.elements}
    assert not tags & {"script", "img", "iframe", "object", "embed", "link", "b", "form", "base"}
    assert all(not name.startswith("on") for _, attrs in tree.elements for name in attrs)
    assert html.count("</style>") == 1


def test_nothing_is_loaded_from_outside(html: str, tree: Tree):
    links = [v for _, attrs in tree.elements for k, v in attrs.items() if k in ("href", "src")]
    assert links
    assert all(link is not None and link.startswith("#") for link in links)
    style = "".join(data for tag, data in tree.texts if tag == "style")
    assert "url(" not in style
    assert "@import" not in style
    assert [v for _, a in tree.elements if (v := a.get("http-equiv"))] == [
        "Content-Security-Policy"
    ]


def test_every_figure_says_in_words_what_it_shows(tree: Tree):
    drawings = [attrs for tag, attrs in tree.elements if tag == "svg"]
    assert len(drawings) == 7
    ids = [attrs["id"] for _, attrs in tree.elements if attrs.get("id")]
    assert len(ids) == len(set(ids))
    for attrs in drawings:
        assert attrs["role"] == "img"
        named = (attrs["aria-labelledby"] or "").split()
        assert len(named) == 2
        assert set(named) <= set(ids)
    for kind in ("title", "desc"):
        said = [data for tag, data in tree.texts if tag == kind and data.strip()]
        assert len(said) >= len(drawings)


def test_links_lead_to_parts_of_the_page(tree: Tree):
    ids = {attrs.get("id") for _, attrs in tree.elements}
    links = [attrs["href"] for tag, attrs in tree.elements if tag == "a"]
    assert links
    assert all(link is not None and link[1:] in ids for link in links)


def test_screen_phone_print_and_darkness_are_provided_for(html: str):
    assert 'name="viewport"' in html
    for rule in ("prefers-color-scheme:dark", "@media print", "@media (max-width"):
        assert rule in html


def test_the_same_report_is_the_same_to_the_byte(html: str):
    assert hostile_page().html() == html
