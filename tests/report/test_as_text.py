"""What is shown elsewhere is what the terminal shows."""

from __future__ import annotations

import shlex

from click.testing import CliRunner

import linesim
from linesim.commands import main
from linesim.scenario import find_scenario, load
from tests.line.calm_line import calm


def lines_of(text: str) -> list[str]:
    return [line.rstrip() for line in text.splitlines()]


def printed(*words: str) -> list[str]:
    result = CliRunner().invoke(main, list(words))
    assert result.exit_code == 0, result.output
    return lines_of(result.stdout)


LINE = """
[line]
name = "quick line"

[[stop]]
cause = "edge guiding"
every_running_h = { law = "exponential", mean = 0.2 }
"""


def test_a_run_as_text_is_what_the_command_prints(tmp_path):
    path = tmp_path / "line.toml"
    path.write_text(LINE, encoding="utf-8")
    line = load(path)
    settled = linesim.studies.long_run_for(line, hours=0.5, replications=2, seed=4)
    result = linesim.studies.replicate(
        line,
        hours=settled.hours,
        replications=2,
        seed=4,
        warm_up_h=settled.warm_up_h,
        check=True,
        narrow=0.5,
    )
    shown = linesim.report.run_text(result, settled=settled, audit=True)
    options = shlex.split(
        "--hours 0.5 --replications 2 --seed 4 --long-run --audit --within 50 --no-levers"
    )
    assert lines_of(shown) == printed("run", str(path), *options)
    narrow = linesim.report.run_text(result, within_percent=50)
    assert "Good reams to ± 50 %: reached" in narrow


def test_rates_and_causes_are_what_the_commands_print():
    assert lines_of(linesim.report.causes_text()) == printed("causes")
    line = load(find_scenario("two-wrappers"))
    assert lines_of(linesim.report.rates_text(line)) == printed("rates", "two-wrappers")


def test_tables_are_ruled_with_hyphens_where_the_terminal_has_no_other_line():
    result = CliRunner(charset="cp1252").invoke(main, ["rates", "two-wrappers"])
    assert result.exit_code == 0, result.output
    assert "-" * 60 in result.stdout
    assert "?" not in result.stdout


def test_rates_say_in_words_what_has_no_limit_and_what_catches_up():
    none = {"pick_s": 0, "carry_s": 0, "place_s": 0, "return_s": 0}
    bridge = {"catch_up_at_reams": 5, "catch_up_factor": 1.5}
    shown = " ".join(linesim.report.rates_text(calm(transfer=none, bridge=bridge)).split())
    assert "The transfer takes no time for its work, so it never limits the line." in shown
    assert "The wrapper makes up to 90.0 reams a minute when catching up" in shown
    assert " inf" not in shown


def test_rates_leave_out_no_minutes_of_stops():
    few = {"every_running_h": 10, "restore_min": 2}
    stops = [{"cause": f"cause {n}", "station": "wrapper", **few} for n in range(5)]
    shown = linesim.report.rates_text(calm(stop=stops))
    assert "wrapper: cause 0 0.200, cause 1 0.200, cause 2 0.200, 2 others 0.400\n" in shown
