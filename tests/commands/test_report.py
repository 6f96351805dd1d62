"""``linesim report``: what is asked for is written, and what cannot be is refused in words."""

from __future__ import annotations

import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from linesim.commands import main
from linesim.questions import STUDIES
from linesim.scenario import find_scenario

QUICK = "--hours 0.5 --replications 2 --processes 1"


def run(line: str) -> Result:
    return CliRunner().invoke(main, shlex.split(line))


@pytest.mark.parametrize(("name", "first"), [("a.html", b"<!DOCTYPE html>"), ("a.PDF", b"%PDF-")])
def test_it_writes_what_the_ending_says(tmp_path: Path, name: str, first: bytes):
    target = tmp_path / name
    result = run(f"report small-crew {QUICK} -o '{target}'")
    assert result.exit_code == 0, result.output
    assert target.read_bytes().startswith(first)
    assert [path.name for path in tmp_path.iterdir()] == [name]


def test_the_same_command_gives_the_same_bytes_and_no_path_of_the_user(tmp_path: Path):
    lines = [f"report small-crew {QUICK} --seed 3 -o '{tmp_path}/{n}.html'" for n in "ab"]
    assert [run(line).exit_code for line in lines] == [0, 0]
    first, second = (tmp_path / f"{n}.html" for n in "ab")
    assert first.read_bytes() == second.read_bytes()
    text = first.read_text(encoding="utf-8")
    assert "linesim report small-crew --hours 0.5 --replications 2 --seed 3 -o report.html" in text
    assert str(tmp_path) not in text


def test_question_and_date_are_the_readers_own(tmp_path: Path):
    target = tmp_path / "a.html"
    words = "--question 'Is <it> worth it?' --date '1 March' --appendix"
    assert run(f"report small-crew {QUICK} {words} -o '{target}'").exit_code == 0
    text = target.read_text(encoding="utf-8")
    assert "Is &lt;it&gt; worth it?" in text
    assert "<span>1 March</span>" in text
    assert "--date &#39;1 March&#39; --hours 0.5 --replications 2 --appendix --seed" in text


def test_a_study_is_asked_by_its_name_and_is_what_page_one_is_about(tmp_path: Path):
    target = tmp_path / "a.html"
    result = run(
        "report small-crew --hours 1 --replications 2 --processes 1 --study what-holds"
        f" -o '{target}'"
    )
    assert result.exit_code == 0, result.output
    text = target.read_text(encoding="utf-8")
    assert f"<h1>{STUDIES['what-holds'].question}</h1>" in text
    assert "--study what-holds --hours 1" in text


def test_a_study_is_taken_in_and_one_of_another_line_is_refused(tmp_path: Path):
    study = tmp_path / "kept.sqlite"
    asked = run(
        f"vary small-crew crew.size=1,2 --hours 1 --replications 2 --processes 1 --keep '{study}'"
    )
    assert asked.exit_code == 0, asked.output
    target = tmp_path / "a.html"
    result = run(f"report small-crew {QUICK} --study '{study}' -o '{target}'")
    assert result.exit_code == 0, result.output
    text = target.read_text(encoding="utf-8")
    assert 'id="study0"' in text
    assert "--study kept.sqlite" in text
    changed = tmp_path / "changed.toml"
    demo = find_scenario("small-crew").read_text(encoding="utf-8")
    assert "size = 1" in demo
    changed.write_text(demo.replace("size = 1", "size = 2"), encoding="utf-8")
    refused = run(f"report '{changed}' {QUICK} --study '{study}' -o '{tmp_path / 'b.html'}'")
    assert refused.exit_code == 2
    assert "another scenario" in refused.output
    assert "[crew] differs" in refused.output
    assert not (tmp_path / "b.html").exists()


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("report small-crew -o here.txt", "ends in .html or .pdf"),
        ("report small-crew -o nowhere/at/all.html", "there is no folder"),
        ("report small-crew -o a.html --study nothing.sqlite", "nothing.sqlite"),
        ("report small-crew -o a.html --study compare", "is of several scenarios: ask it with"),
        ("report small-crew -o a.html --study vary", "must be told what to try: ask it with"),
        ("report small-crew -o a.html --to 2026-03-08", "--to: name the log by --log, too"),
        ("report no-such-line -o a.html", "no such file"),
        ("report small-crew", "Missing option"),
    ],
)
def test_what_cannot_be_done_is_refused_before_the_work(
    line: str, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.chdir(tmp_path)
    result = run(line)
    assert result.exit_code == 2
    assert said in result.output
    assert "Traceback" not in result.output
    assert not list(tmp_path.iterdir())
