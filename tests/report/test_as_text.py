"""What is shown elsewhere is what the terminal shows."""

from __future__ import annotations

import shlex

from click.testing import CliRunner

import linesim
from linesim.commands import main
from linesim.scenario import find_scenario, load


def lines_of(text: str) -> list[str]:
    return [line.rstrip() for line in text.splitlines()]


def printed(*words: str) -> list[str]:
    result = CliRunner().invoke(main, list(words))
    assert result.exit_code == 0, result.output
    return lines_of(result.stdout)


def test_a_run_as_text_is_what_the_command_prints():
    line = load(find_scenario("small-crew"))
    settled = linesim.warm_up_for(line, hours=0.5, replications=2, seed=4)
    result = linesim.replicate(
        line,
        hours=0.5,
        replications=2,
        seed=4,
        warm_up_h=settled.warm_up_h,
        check=True,
        narrow=0.5,
    )
    shown = linesim.run_text(result, settled=settled, audit=True)
    options = shlex.split("--hours 0.5 --replications 2 --seed 4 --long-run --audit --within 50")
    assert lines_of(shown) == printed("run", "small-crew", *options)
    narrow = linesim.run_text(result, within_percent=50)
    assert "Asked for ± 50 % of good reams: reached" in narrow


def test_rates_and_causes_are_what_the_commands_print():
    assert lines_of(linesim.causes_text()) == printed("causes")
    line = load(find_scenario("two-wrappers"))
    assert lines_of(linesim.rates_text(line)) == printed("rates", "two-wrappers")
