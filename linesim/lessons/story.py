"""The line as the story of a lesson has it, and whether a run is one that the story tells of.

A lesson says "the line runs as it should, then the wrapper stands for four minutes". In many
shifts something else stands just then, and what follows has little to do with the four minutes.
"""

from __future__ import annotations

import numpy as np

from linesim.lessons.lesson import Lesson
from linesim.lessons.sums import level_at
from linesim.record import Record
from linesim.record.disturbance import Disturbance
from linesim.record.ripple import OWN_STATES
from linesim.record.states import State
from linesim.scenario import Scenario
from linesim.scenario.units import MINUTE, SECOND
from linesim.studies.changes import causes_of, without_cause

_LATE_NS = 20 * SECOND
"""A stop may wait so long for the piece in hand."""
_SHORT_NS = SECOND
_CALM_NS = 120 * SECOND
"""So long before the stop, while it lasts and afterwards nothing else stands on a calm line."""
_AT_SPEED_NS = MINUTE
"""So long before it the webs do not stand: the end of a reel takes no time on a calm line, but the
webs still stop for it."""


def line_of_story(lesson: Lesson, scenario: Scenario) -> Scenario:
    """The line of the story: of itself it does not stop, unless the lesson wants it to."""
    if lesson.needs.nothing_else_stops:
        for cause in causes_of(scenario):
            scenario = without_cause(scenario, cause)
    return scenario


def fits(lesson: Lesson, undisturbed: Record, disturbed: Record, found: Disturbance) -> bool:
    """Whether these two runs, without and with the stop, are as the story has them."""
    needs, level = lesson.needs, level_at(undisturbed, lesson.stop.at_h)
    least, most = needs.bridge_at_least_reams, needs.bridge_at_most_reams
    if (least is not None and level < least) or (most is not None and level > most):
        return False
    if found.began_ns is None or found.ended_ns is None:
        return False
    late = found.began_ns - found.asked_ns
    short = found.asked_length_ns - (found.ended_ns - found.began_ns)
    if late > _LATE_NS or abs(short) > _SHORT_NS:
        return False
    if not needs.nothing_else_stops:
        return True
    start, end = found.began_ns - _CALM_NS, found.ended_ns + _CALM_NS
    if _stood(disturbed, start, end, lesson.stop.cause):
        return False
    return not _webs_stood(disturbed, found.began_ns - _AT_SPEED_NS, found.began_ns)


def _webs_stood(record: Record, start_ns: int, end_ns: int) -> bool:
    """Whether the webs stood at some time between, if only for a moment."""
    history = record.history
    assert history is not None
    since = max(0, int(np.searchsorted(history.speed_ns, start_ns, side="right")) - 1)
    until = int(np.searchsorted(history.speed_ns, end_ns))
    return not bool((history.speed_um_per_ns[since:until] > 0).all())


def _stood(record: Record, start_ns: int, end_ns: int, but_for: str) -> bool:
    """Whether something else stood between, for a cause of its own or as planned."""
    assert record.history is not None
    spans = record.history.spans
    rows = np.isin(spans.state, (*OWN_STATES, State.PLANNED)) & (spans.end_ns > spans.start_ns)
    rows &= (spans.start_ns < end_ns) & (spans.end_ns > start_ns)
    rows &= spans.cause != record.causes.index(but_for)
    return bool(rows.any())
