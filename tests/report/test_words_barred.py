"""What users stumbled over is not said again."""

from __future__ import annotations

import re

import pytest

import linesim
from linesim.studies.replications import replicate
from tests.line.calm_line import calm
from tests.report.shown_strings import ROOT, shown_strings

BARRED = re.compile(
    r"\blucks?\b|\bNot told\b|\bnot told\b|No point within|makes? no line|without a price"
    r"|alone longest active|\bheld by its\b|\bpace only\b|\bwith hands\b|nobody's word"
    r"|number of runs worth|people without|\bnet inf\b",
    re.IGNORECASE,
)
FOLDERS = ("report", "commands", "questions", "lessons", "plant", "scenario", "studies")


def test_no_text_says_what_nobody_from_a_plant_understands() -> None:
    shown = shown_strings("gui", *(f"linesim/{folder}" for folder in FOLDERS), holding=BARRED)
    assert [(place, text) for place, text in shown if BARRED.search(text)] == []
    pages = [ROOT / "README.md", *(ROOT / "linesim/manual").glob("*.md")]
    pages += (ROOT / "scenarios").rglob("*.toml")
    assert [page for page in pages if BARRED.search(page.read_text(encoding="utf-8"))] == []


def test_what_is_typed_is_said_to_be_of_a_command() -> None:
    """An answer stands in the window, too, where nobody types options."""
    typed = re.compile(r"(?<![\w-])--[a-z]")
    folders = ("studies", "plant", "scenario", "report/answers")
    shown = shown_strings(*(f"linesim/{folder}" for folder in folders), holding=typed)
    told = [(place, text) for place, text in shown if typed.search(text)]
    assert len(told) > 5
    # What is written by a terminal alone.
    own = ("linesim/report/answers/printing.py", "linesim/report/answers/exports.py")
    for place, text in told:
        flag_alone = len(text.split()) == 1
        assert flag_alone or "command" in text or place.startswith(own), (place, text)


def test_a_barred_word_would_be_found() -> None:
    shown = [text for _, text in shown_strings("tests/report", holding=BARRED)]
    assert any(BARRED.search(text) for text in shown)


def test_one_thing_and_several_are_counted_by_one_helper() -> None:
    by_hand = re.compile(r"""['"]s['"] if |else ['"]s['"]\)""")
    files = [path for top in ("linesim", "gui") for path in (ROOT / top).rglob("*.py")]
    assert [path for path in files if by_hand.search(path.read_text(encoding="utf-8"))] == []


@pytest.mark.parametrize("replications", [1, 2])
def test_no_figure_is_infinite_or_no_number(replications: int) -> None:
    none = {"pick_s": 0, "carry_s": 0, "place_s": 0, "return_s": 0}
    line = calm(transfer=none)
    runs = replicate(line, hours=0.01, replications=replications)
    said = linesim.report.run_text(runs) + linesim.report.rates_text(line)
    assert re.findall(r"\b(?:inf|nan|None)\b", said) == []
