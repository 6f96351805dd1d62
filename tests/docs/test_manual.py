"""The manual: complete, true to the program, and with figures that still come out."""

from __future__ import annotations

import re
import tomllib

import pytest
from click.testing import CliRunner

import linesim
from linesim.commands import main
from linesim.manual import anchor_of, chapters, manual_html
from linesim.questions import STUDIES
from linesim.report import LIMITS
from linesim.report.plain import CAUTION_IN_SHORT, CAUTIONS
from linesim.scenario import ForcedStop, LineState, check_text, field_groups, shipped_scenarios
from linesim.scenario.field_descriptions import descriptions
from tests.docs import make_pictures
from tests.docs.pages import CLONE, MANUAL, README, blocks, chapter, headings

FOLDER = CLONE / "linesim/manual"
TEXTS = {page.name: page.read_text(encoding="utf-8") for page in MANUAL}
READ = {each.name: each for each in chapters()}


def test_every_demo_is_named():
    named = re.findall(r"^\| `([\w-]+)` \|", TEXTS["05-line.md"], re.MULTILINE)
    assert sorted(named) == sorted(shipped_scenarios())
    assert all((CLONE / "scenarios" / f"{name}.toml").exists() for name in named)


def test_every_command_is_named_and_no_other():
    named = re.findall(r"^\| `([\w-]+)` \|", READ["commands"].markdown, re.MULTILINE)
    assert sorted(named) == sorted(main.commands)


def test_every_study_has_its_section_and_words_on_how_to_read_it():
    said = READ["studies"].markdown
    for name, study in STUDIES.items():
        section = said.split(f"\n## {study.title}\n")[1].split("\n## ")[0]
        assert f"**{study.question}**" in section
        written = TEXTS["09-studies.md"].split(f"> Made when it is read: study {name}.\n")[1]
        assert len(written.split("\n> Made")[0].strip()) > 50


def test_every_field_stands_with_its_unit_limits_standard_and_an_example():
    said = READ["fields"].markdown.replace("\\", "")
    for group in field_groups():
        for field in group.fields:
            words = said.split(f"\n#### {group.name}.{field.name}\n")[1].split("\n#")[0]
            example = re.search(r"Example: `(.*)`$", words, re.MULTILINE)
            assert example, f"{group.name}.{field.name}: show it in a demo or a piece of a file"
            value = tomllib.loads(example[1])[field.name]
            assert value is not None
            if field.kind in ("number", "whole"):
                assert (field.low or 0) <= value <= (field.high or value)
            if field.choices:
                assert value in field.choices
            if field.default not in (None, ""):
                assert "Standard: `" in words


def test_every_field_of_a_state_file_stands_in_its_chapter():
    said = READ["forecast"].markdown.split("## What a state file may say")[1]
    for name, field in descriptions(LineState).items():
        written = {"table": f"`[{name}]`.", "tables": f"`[[{name}]]`."}.get(
            field.kind, f"- `{name}`:"
        )
        assert f"\n{written}" in said
        assert all(f"\n- `{part.name}`: " in said for part in field.parts)


def test_the_pieces_of_scenario_files_are_scenarios():
    pieces = [block for page in MANUAL for block in blocks(page) if block.kind == "toml"]
    assert len(pieces) > 8
    for piece in pieces:
        check_text("\n".join(piece.lines))


def test_every_link_leads_somewhere():
    anchors = {
        name: {anchor_of(line.lstrip("# ").replace("\\", "")) for line in headings(each.markdown)}
        for name, each in READ.items()
    }
    wrong = [
        (name, file, heading)
        for name, text in TEXTS.items()
        for file, heading in re.findall(r"[^!]\[[^]]+\]\(([^)#]*)#?([^)]*)\)", text)
        if file not in TEXTS or (heading and heading not in anchors[file[3:-3]])
    ]
    assert wrong == []


def test_cautions_and_limits_are_all_there():
    told = next(each.markdown for each in chapters() if each.name == "cautions")
    every = told, " ".join(CAUTIONS), CAUTION_IN_SHORT
    for cautions in (each.lower() for each in every):
        for word in ("webs", "nips", "knives", "lifting", "lockout", "jams", "licensed practice"):
            assert word in cautions


def test_limits_told_in_short_are_those_of_the_chapter():
    chapter_words, short = (
        " ".join(text.split()).replace("**", "").lower()
        for text in (TEXTS["21-limits.md"], " ".join(LIMITS))
    )
    for words in (
        "webs move as one",
        "reels differ in diameter and joints, and are good or bad",
        "a web breaks as often as the reel on its stand does",
        "whole cuts",
        "unless the shift has too few for it",
        "stops are independent of each other",
        "orders run in the sequence given",
        "tax and inflation are left out",
    ):
        assert words in chapter_words
        assert words in short


def test_what_the_stops_to_try_do_is_what_they_do():
    """The trainer's table: reached whom, when, for how long, and reams lost."""
    rows = re.findall(
        r"^\| (\w+), (\d) min \| (\w+) \| (\d+) s \| (?:(\d) min )?(\d+) s \| (\d+) \|$",
        TEXTS["04-trainer.md"],
        re.MULTILINE,
    )
    assert len(rows) == 4
    line = linesim.load("short-bridge")
    plain = linesim.simulate(line)
    for station, minutes, reached, after, of_min, of_s, lost in rows:
        stop = ForcedStop(station=station, at_h=2, minutes=int(minutes))
        stopped = linesim.simulate(line, forced=(stop,))
        found = linesim.record.disturbance(plain, stopped, stop)
        words = " ".join(linesim.report.disturbance_words(stopped, found))
        for_ = f"{of_min} min {of_s} s" if of_min else f"{of_s} s"
        assert re.search(rf"The {reached} w\w+ \w+ {after} s later, for {for_} in all", words)
        assert (f"It cost {lost} reams" if int(lost) else "It cost no ream") in words


@pytest.mark.parametrize("page", [README, chapter("first-hour")])
def test_the_words_of_a_run_are_the_same_wherever_they_stand(page):
    first = next(block for block in blocks(page) if block.kind == "text")
    again = next(block for block in blocks(README) if block.kind == "text")
    assert "\n".join(first.lines).startswith("\n".join(again.lines))


def test_every_picture_is_there_named_once_described_and_small():
    shown = re.findall(r"!\[([^]]+)\]\(pictures/([^)]+)\)", "".join(TEXTS.values()))
    assert all(len(words) > 15 for words, _ in shown)
    named = [file for _, file in shown]
    assert sorted(named) == sorted(file.name for file in (FOLDER / "pictures").iterdir())
    assert set(named) == make_pictures.NAMES
    assert sum(file.stat().st_size for file in (FOLDER / "pictures").iterdir()) < 1_500_000


def test_the_page_is_one_file_that_needs_no_network_and_leads_within():
    page = manual_html()
    assert page == manual_html()
    assert not re.findall(r"(?:src|href)=\"(?!#|data:)", page)
    assert "<script" not in page
    ids = set(re.findall(r' id="([^"]+)"', page))
    assert set(re.findall(r'href="#([^"]+)"', page)) <= ids
    assert len(ids) == len(re.findall(r' id="', page))
    assert page.count("<img ") == len(make_pictures.NAMES)
    assert "Made when it is read" not in page


def test_the_command_says_the_chapters_prints_one_and_writes_all(tmp_path):
    def said(*arguments):
        return CliRunner().invoke(main, ["manual", *arguments])

    assert all(f"{name}  " in said().output for name in READ)
    assert "bridge.length_m" in said("fields").output
    assert "(chapter glossary)" in " ".join(said("statistics").output.split())
    target = tmp_path / "manual.html"
    assert said("-o", str(target)).exit_code == 0
    assert target.read_text(encoding="utf-8") == manual_html()
    for wrong, words in (
        (("keyes",), "right would be keys"),
        (("nothing",), "right would be one of first-hour"),
        (("keys", "-o", str(target)), "name none"),
        (("-o", str(tmp_path / "no" / "manual.html")), "there is no folder"),
    ):
        result = said(*wrong)
        assert result.exit_code == 2
        assert words in " ".join(result.output.split())
