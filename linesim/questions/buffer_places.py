"""Places of a buffer as they are asked for: a range, a list, or chosen for the line."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.questions.study_options import QuestionError
from linesim.scenario import Scenario
from linesim.scenario.buffers import BRIDGE, buffers_of
from linesim.studies.buffer_places import POINTS, places_to_try
from linesim.studies.vary import read_values


def places_for(
    scenario: Scenario, text: str | None, points: int = POINTS, name: str = BRIDGE
) -> Sequence[int]:
    """From, to and how many (10:120:12), or a list; the present size is one of them.

    Raises :class:`QuestionError` as :func:`places_read`.
    """
    if text is None:
        return list(places_to_try(scenario, points, name))
    return places_read(scenario, text, name, "places")


def places_read(scenario: Scenario, text: str, name: str, option: str) -> Sequence[int]:
    """The places that an option of that name gives to a buffer, the present size among them.

    Raises :class:`QuestionError` for places that hold no set or that there is no room for,
    ``FieldError`` for other words.
    """
    buffer = buffers_of(scenario)[name]
    values = read_values(text, f"{option}={text}")
    tried = sorted({buffer.places, *(round(value) for value in values)})
    if min(tried) < buffer.least:
        needed = f"the {scenario.set_reams} reams of one set" if name == BRIDGE else "none"
        raise QuestionError(option, f"{min(tried)} places are fewer than {needed}")
    if max(tried) > buffer.most:
        what = "a bridge" if name == BRIDGE else buffer.words
        raise QuestionError(
            option,
            f"{max(tried):,} places are {what} of {buffer.metres(max(tried)):,.10g}"
            f" m, and there is room for {buffer.longest_m:,.10g} m: longest_m in [{name}]"
            " says how much",
        )
    return tried


def is_list(text: str | None) -> bool:
    """Whether places are single ones that can be had, not a range in which all can."""
    return text is not None and ":" not in text
