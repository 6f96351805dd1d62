"""Places on the bridge as they are asked for: a range, a list, or chosen for the line."""

from __future__ import annotations

from collections.abc import Sequence

from linesim.questions.study_options import QuestionError
from linesim.scenario import Scenario
from linesim.scenario.buffers import bridge_of
from linesim.studies.size_bridge import POINTS, places_to_try
from linesim.studies.vary import read_span


def places_for(scenario: Scenario, text: str | None, points: int = POINTS) -> Sequence[int]:
    """From, to and how many (10:120:12), or a list; the present bridge is one of them.

    Raises :class:`QuestionError` for places that hold no set or that there is no room for,
    ``FieldError`` for other words.
    """
    if text is None:
        tried = list(places_to_try(scenario, points))
    else:
        span = read_span(scenario, f"bridge.places={text}")
        tried = sorted({scenario.bridge_places, *(int(value) for value in span.values)})
    if min(tried) < scenario.set_reams:
        raise QuestionError(
            "places",
            f"{min(tried)} places are fewer than the {scenario.set_reams} reams of one set",
        )
    bridge = bridge_of(scenario)
    if max(tried) > bridge.most:
        raise QuestionError(
            "places",
            f"{max(tried):,} places are a bridge of {bridge.metres(max(tried)):,.10g}"
            f" m, and there is room for {bridge.longest_m:,.10g} m: longest_m in [bridge]"
            " says how much",
        )
    return tried


def places_from_present(scenario: Scenario, text: str | None) -> Sequence[int]:
    """As :func:`places_for`, but none shorter than the present bridge unless asked for."""
    found = places_for(scenario, text)
    if text is not None:
        return found
    return [each for each in found if each >= scenario.bridge_places]


def is_list(text: str | None) -> bool:
    """Whether places are single ones that can be had, not a range in which all can."""
    return text is not None and ":" not in text
