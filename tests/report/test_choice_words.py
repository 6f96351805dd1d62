"""The best choice in words: how often it is the best, between which ends, and its regret."""

from linesim.report.answers.choice_words import choice_words
from linesim.statistics import Choice

FOUND = Choice(1, (0.1, 0.62, 0.28), 31.4, 412.0, 0, 2)


def test_a_choice_among_things_says_how_often_and_what_it_costs() -> None:
    assert choice_words(FOUND, ["a", "b", "c"], "reams a week") == (
        "B is the best in 62 of 100 plants that agree with what is known, and falls short of the"
        " best by 31 reams a week on average, by 410 at most in 95 of 100."
    )


def test_a_choice_along_a_line_says_between_which_ends() -> None:
    said = choice_words(FOUND, ["30", "40", "45"], "a year", along="{} places")
    assert said.startswith(
        "The best is between 30 and 45 places in 95 of 100 plants that agree with what is known; 40"
        " places falls short of the best by 31 a year on average"
    )


def test_where_one_is_always_the_best_nothing_more_is_said() -> None:
    sure = Choice(0, (0.999, 0.001), 0.1, 0.0, 0, 0)
    assert choice_words(sure, ["a", "b"], "a year", before="By money, ") == (
        "By money, a is the best in more than 99 of 100 plants that agree with what is known."
    )
    alike = Choice(0, (0.5, 0.5), 0.0, 0.0, 0, 1)
    assert choice_words(alike, ["a", "b"], "a year") == (
        "A is the best, or as good, in all plants that agree with what is known."
    )
