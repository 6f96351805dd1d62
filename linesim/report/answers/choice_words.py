"""Decisions in plants that agree with what is known, in words."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.report.answers.cells import cell_of, cell_text
from linesim.report.plain import capital
from linesim.statistics import Bounds, Choice

_SURE = 0.05
_NEARLY_ALL = 0.995
_AGREEING = "plants that agree with what is known"


def share_words(share: Bounds) -> str:
    """So many of 100, and between which ends that lies where it is not sure.

    >>> share_words(Bounds(0.83, 0.82, 0.84, 0.95, 10_000))
    '83 of 100'
    >>> share_words(Bounds(0.83, 0.66, 0.93, 0.95, 10_000))
    '83 (66 to 93) of 100'
    >>> share_words(Bounds(0.35, 0.0, 1.0, 0.95, 10_000))
    '40 (0 to 100) of 100'
    >>> share_words(Bounds(1.0, 0.999, 1.0, 0.95, 10_000))
    'more than 99 of 100'
    """
    if max(share.high - share.value, share.value - share.low) >= _SURE:
        # As tables have it.
        return f"{cell_text(cell_of(share, '%')).replace('–', ' to ')} of 100"
    return _of_100(share.value)


def choice_words(
    choice: Choice, names: Sequence[str], unit: str, *, along: str = "{}", before: str = ""
) -> str:
    """The best choice, how often it is the best, and what choosing it costs at worst.

    Names in order say with ``along`` what they are values of ("{} places"), so that their range is
    told. ``before`` begins the sentence.
    """
    name, share = along.format(names[choice.chosen]), choice.best_in[choice.chosen]
    if along != "{}" and choice.low < choice.high:
        ends = along.format(f"between {names[choice.low]} and {names[choice.high]}")
        said = f"{before}the best is {ends} in 95 of 100 {_AGREEING}; {name}"
    elif not choice.regret:
        return capital(f"{before}{name} is the best, or as good, in all {_AGREEING}.")
    else:
        said = f"{before}{name} is the best in {_of_100(share)} {_AGREEING}"
        if share > _NEARLY_ALL:
            return capital(f"{said}.")
        said += ", and"
    regret, most = (f"{float(f'{x:.2g}'):,.10g}" for x in (choice.regret, choice.regret_at_most))
    return capital(
        f"{said} falls short of the best by {regret} {unit} on average, by {most} at most in 95 of"
        " 100."
    )


def told_in_plants(share: float, what: str) -> str:
    """That something is so in that share of plants; nothing where it is in hardly any.

    >>> told_in_plants(0.3, "it pays")
    'In 30 of 100 plants that agree with what is known it pays'
    >>> told_in_plants(1.0, "it pays"), told_in_plants(0.001, "it pays")
    ('It pays', '')
    """
    if share < 1 - _NEARLY_ALL:
        return ""
    return capital(what if share > _NEARLY_ALL else f"in {_of_100(share)} {_AGREEING} {what}")


def _of_100(share: float) -> str:
    if share > _NEARLY_ALL:
        return "more than 99 of 100"
    return f"{100 * share:.0f} of 100" if share >= 1 - _NEARLY_ALL else "fewer than 1 of 100"


PLANTS_NOTE = (
    "Plants that agree with what is known: what is doubted, prices too, is drawn within its ends,"
    " and what the runs leave open with it. In brackets: between which ends the number lies where"
    " the runs do not tell it better."
)
