"""What is legal and unusual is remarked on, and is no fault."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from linesim.commands import main
from linesim.scenario import ScenarioFaults, check_text, dump, load, remarks, shipped_scenarios

TEXT = """
[cutter]
web_speed_m_per_min = 40
[bridge]
length_m = 6
belt_speed_m_per_min = 0
[[wrapper]]
name = "A"
rate_reams_per_min = 30
[[wrapper]]
name = "B"
rate_reams_per_min = 300
roll_change_min = { law = "lognormal", mean = 40, sd = 5 }
[unwind]
change_min = 500
"""


def test_each_value_outside_the_usual_range_is_named_with_its_line() -> None:
    found = [str(remark) for remark in remarks(TEXT, file="mine.toml")]
    assert [text.split(": is")[0].split(": a mean")[0] for text in found] == [
        "mine.toml:3: remark: cutter.web_speed_m_per_min = 40",
        "mine.toml:6: remark: bridge.belt_speed_m_per_min = 0",
        "mine.toml:12: remark: wrapper[1].rate_reams_per_min = 300",
        'mine.toml:13: remark: wrapper[1].roll_change_min = { law = "lognormal", mean = 40,'
        " sd = 5 }",
        "mine.toml:15: remark: unwind.change_min = 500",
    ]
    assert found[2].endswith("is outside the usual range of 15 to 70 reams/min")
    assert found[3].endswith("a mean of 40 is outside the usual range of 2 to 8 min")


def test_what_a_stop_cannot_spoil_is_named() -> None:
    text = """
[[stop]]
cause = "dip"
station = "wrapper"
every_clock_h = 50
restore_min = 1
spoils_reams = 1
[[stop]]
cause = "gripper"
station = "transfer"
every_reams = 5000
restore_min = 1
spoils_reams = 2
spoils_cuts = 10
[[stop]]
cause = "jam"
station = "wrapper"
every_reams = 5000
restore_min = 1
spoils_reams = 2
"""
    assert [str(remark) for remark in remarks(text, file="mine.toml")] == [
        "mine.toml:7: remark: stop[0].spoils_reams = 1: has no effect: a stop by the clock spoils"
        " no reams; give another meter",
        "mine.toml:13: remark: stop[1].spoils_reams = 2: has no effect: only a wrapper spoils"
        " reams, not 'transfer'",
        "mine.toml:14: remark: stop[1].spoils_cuts = 10: has no effect: there are no webs at"
        " 'transfer'",
    ]


def test_a_file_of_nothing_but_defaults_needs_no_remark() -> None:
    assert remarks(dump(check_text(""))) == []
    assert remarks("") == []


@pytest.mark.parametrize("name", shipped_scenarios())
def test_the_demos_can_be_remarked_on(name: str) -> None:
    text = shipped_scenarios()[name].read_text(encoding="utf-8")
    for remark in remarks(text):
        assert remark.line is not None
        assert remark.field.split(".")[-1] in text.splitlines()[remark.line - 1]
    assert load(shipped_scenarios()[name])


def test_a_faulty_file_has_faults_and_no_remarks() -> None:
    with pytest.raises(ScenarioFaults):
        remarks("[cutter]\nweb_speed_m_per_min = -1\n")


def test_check_says_it_and_ends_with_0(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_text(TEXT, encoding="utf-8")
    found = CliRunner().invoke(main, ["check", str(file)])
    assert found.exit_code == 0
    assert f"{file}: no faults" in found.output
    assert f"{file}:3: remark: cutter.web_speed_m_per_min = 40: is outside" in found.output
