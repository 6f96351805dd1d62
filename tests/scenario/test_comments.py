"""Comments of a scenario file: whose they are, and when they are no longer true."""

from __future__ import annotations

from linesim.scenario.comments import comments, outdated
from linesim.scenario.writing import update

TEXT = """\
# Two lines
# about the wrapper
[[stop]]  # see the log
cause = "wrapper jam"
# timed by hand
# in May
restore_min = 3
people = 1   # alone
every_reams = { law = "exponential", mean = 400 }  # every ten "minutes" # or so

[[stop]]
cause = "x"  # "restore_min" is below

[stop.restore_min]
law = "exponential"
mean = 6  # counted
"""
REPLACED = [("stop", 0, "every_reams"), ("stop", 0, "restore_min"), ("stop", 1, "restore_min")]


def test_what_was_said_of_a_value_that_is_gone_is_no_comment_of_the_new_one() -> None:
    new = outdated(TEXT, REPLACED)
    assert comments(new) == {
        ("stop",): "see the log",
        ("stop", 0, "people"): "alone",
        ("stop", 1, "cause"): '"restore_min" is below',
    }
    # Nothing is lost of it, and a second fit says it no second time.
    assert new.replace("before the fit: ", "") == TEXT
    assert outdated(new, REPLACED) == new
    assert new.count("before the fit: ") == 3


def test_line_ends_and_values_stay() -> None:
    text = TEXT.replace("\n", "\r\n")
    assert outdated(text, REPLACED) == outdated(TEXT, REPLACED).replace("\n", "\r\n")
    assert outdated(TEXT, []) == TEXT
    assert comments(outdated(update(TEXT, {"stop[0].restore_min": 4}), REPLACED))
