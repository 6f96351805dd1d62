"""The glossary holds the words that the program shows, each once."""

from __future__ import annotations

import ast
from difflib import SequenceMatcher
from itertools import combinations

import pytest

import linesim
from linesim.record.states import State, station_words
from linesim.report.glossary import GLOSSARY, NoSuchTermError, find_terms, glossary_text, terms_in
from linesim.report.page.model import Grid
from linesim.report.page.page import report_page
from linesim.report.words import LOSS_STEPS, MEASURES
from linesim.scenario import WEB_STATIONS
from linesim.studies.replications import replicate
from tests.line.calm_line import calm
from tests.report.shown_strings import trees

KNOWN = {name for each in GLOSSARY for name in each.names}

PLAIN = {
    "", "1 of 10 by", "5 % to 95 %", "9 of 10", "9 of 10 by", "a year", "against first",
    "against first ", "against the first", "against the present", "asked output",
    "back in part reels", "best in", "before", "by day", "capital", "cause", "change", "cost",
    "cost beyond the present line", "counted", "counts", "crew", "cuts rejected after stops", "day",
    "difference in good output", "doubt", "due", "from", "from, to", "gain",
    "gain per place", "good reams more", "more avoidable waste, t", "more reams sold",
    "half by", "in", "in the log as", "known from", "last done", "late", "late orders", "line",
    "log", "logged",
    "lowest net rate", "mean", "mean of", "measure", "meter of the station at its end", "minutes",
    "more waste", "more than the row above", "needed from", "new", "now", "now is",
    "slowed more",
    "on them", "order", "orders", "p", "p ",
    "paid back in time", "paper", "predicted", "reams gained without it", "reams per minute", "row",
    "scenario", "sequence", "shape or sd", "share", "sheet", "sheeter blocked", "short of the best",
    "shorter than that", "single runs that reach", "station", "stops", "term", "then held by", "to",
    "together below", "last ream wrapped",
    "step", "total lateness", "verdict", "why", "works", "worth per place", "reels",
    "net rate ±", "± then",
    "rolls", "reams", "running cost", "total a year", "wages", "by formula", "changed every",
    "failed", "lost", "more than run to failure",
    "blocked before it", "starved behind it", "length", "more than now", "size",
    "by", "what", "chance", "in time", "done by then", "before then",
    "time", "time of day", "input", "break-even", "from now", "right would be",
    "rounding",
    "value at lower end", "value at upper end", "cost a year", "ends",
}  # fmt: skip
"""Headings of everyday words, or of words of the glossary that explain each other."""


def test_no_term_is_said_twice_and_no_two_entries_say_the_same():
    names = [name.lower() for each in GLOSSARY for name in each.names]
    assert len(names) == len(set(names))
    for one, other in combinations(GLOSSARY, 2):
        assert SequenceMatcher(None, one.meaning, other.meaning).ratio() < 0.85, (one, other)


def test_every_state_loss_station_and_figure_has_its_term():
    stations = {station_words(name) for name in WEB_STATIONS}
    figures = {name for name, _ in MEASURES.values()} | {"effectiveness (OEE)"}
    asked = {state.words for state in State} | set(LOSS_STEPS) | figures
    asked |= {"sheeter", "bridge", "wrapper", "wrappers", "outfeed", "transfer"} | stations
    asked |= {"planned busy time", "good output", "work still on the line", "its pace"}
    assert sorted(asked - KNOWN) == []


def _heads(node: ast.AST) -> list[ast.expr]:
    """What is written as a heading: of a column, of a table's columns, of what bars stand for."""
    if isinstance(node, ast.Tuple) and len(node.elts) == 2 and isinstance(node.elts[1], ast.Lambda):
        return node.elts[:1]
    if not isinstance(node, ast.Call):
        return []
    called = ast.unparse(node.func)
    if called == "AnswerTable.of":
        return [each.elts[0] for each in node.args[3:] if isinstance(each, ast.Tuple) and each.elts]
    return {"Column": node.args[:1], "bars": node.args[2:3]}.get(called, [])


def test_every_heading_of_an_answer_is_in_the_glossary_or_plain():
    headings = {
        head.value
        for _, tree in trees("linesim/report/answers")
        for node in ast.walk(tree)
        for head in _heads(node)
        if isinstance(head, ast.Constant)
    }
    assert len(headings) > 80
    assert sorted(headings - KNOWN - PLAIN) == []


def test_a_term_is_found_by_any_of_its_names_and_a_slip_is_told():
    assert [each.term for each in find_terms("Mean time to RESTORE")] == ["MTTR"]
    assert {each.term for each in find_terms("wrap")} >= {"wrapper"}
    assert "ISO 22400-2" in " ".join(glossary_text("oee").split())
    for wrong, right in (("starvd", "starved"), ("  ", "a word of `linesim glossary`")):
        with pytest.raises(NoSuchTermError, match=f"right would be: {right}$"):
            find_terms(wrong)
    assert len(glossary_text().splitlines()) >= len(GLOSSARY)


def test_terms_are_found_as_whole_words():
    assert [each.term for each in terms_in("the offset of resets; two sets")] == []
    assert [each.term for each in terms_in("OEE of the outfeed")] == ["OEE", "outfeed"]


def test_a_report_explains_the_words_it_uses_and_no_others():
    runs = replicate(calm(), hours=0.5, replications=2)
    (section,) = [
        s for s in report_page(calm(), runs, appendix=True).model.appendix if s.name == "terms"
    ]
    (grid,) = section.blocks
    assert isinstance(grid, Grid)
    terms = {row[0] for row in grid.rows}
    assert {"OEE", "starved", "net rate", "set-up and adjustment"} <= terms
    assert not {"payback", "break-even demand", "sole bottleneck"} & terms


def test_the_package_offers_it():
    assert linesim.report.glossary_text("ream").startswith("ream [reams]: ")
