"""A shift as a strip: what each station did, how full the bridge was, and the reams that came out.

Time is cut into columns. A column shows the state that took most of it, so that the short waits
between two sets do not hide the stops.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from linesim.record import Record, Spans, State, sheeter_spans
from linesim.record.capacity import SHEETER
from linesim.record.outflow import outflow
from linesim.report.page.drawing import Drawing, shortened
from linesim.report.page.state_looks import LOOKS
from linesim.report.page.typical import TypicalShift
from linesim.report.plain import plain_hours
from linesim.scenario import WEB_STATIONS
from linesim.scenario.units import HOUR, SECOND

_WIDTH = 960.0
_LEFT, _RIGHT = 112.0, 872.0
_COLUMNS = 760
_LANE, _GAP = 20.0, 8.0
_TOP = 52.0


def shift_strip(shift: TypicalShift) -> Drawing:
    """The strip of a shift, 960 wide; its height follows the number of stations."""
    lanes = _lanes(shift.record)
    level_top = _TOP + len(lanes) * (_LANE + _GAP) + 26
    reams_top = level_top + 84 + 34
    bottom = reams_top + 130
    drawing = Drawing(_WIDTH, bottom + 42, "A typical shift", _description(shift, len(lanes)))
    used: set[State] = set()
    for number, (name, spans) in enumerate(lanes):
        y = _TOP + number * (_LANE + _GAP)
        drawing.text(_LEFT - 8, y + 15, shortened(name, 100, 12.5), anchor="end", size=12.5)
        used |= _lane(drawing, y, _dominant(spans, shift))
    _legend(drawing, used)
    _hours(drawing, shift, bottom)
    _bridge(drawing, shift, level_top)
    _reams(drawing, shift, reams_top, bottom)
    return drawing


def column_seconds(shift: TypicalShift) -> float:
    """Length of one column, s: what is much shorter is not drawn."""
    return (shift.end_ns - shift.start_ns) / _COLUMNS / SECOND


def _description(shift: TypicalShift, lanes: int) -> str:
    return (
        f"{plain_hours(shift.hours)} hours of one run. Above, a lane of states for each of {lanes}"
        " stations; below, the reams on the bridge; at the bottom, the good reams out,"
        f" {shift.good_reams():,} by the end, beside what the slowest station's nameplate promises"
        " for the planned time."
    )


def _lanes(record: Record) -> list[tuple[str, Spans]]:
    """Name and time of the sheeter and of every other station."""
    lanes = [(SHEETER, sheeter_spans(record))]
    for number, name in enumerate(record.stations):
        if name not in (*WEB_STATIONS, SHEETER):
            lanes.append((name, record.recorded.spans.of(number)))
    return lanes


def _dominant(spans: Spans, shift: TypicalShift) -> NDArray[np.int64]:
    """The state that took most of each column."""
    edges = np.linspace(shift.start_ns, shift.end_ns, _COLUMNS + 1)
    ends = np.append(spans.start_ns[:1], spans.end_ns)
    # Time spent in each state by a moment: it rises by 1 within a span and else stays.
    spent = [
        np.append(0, np.cumsum(np.where(spans.state == state, np.diff(ends), 0))) for state in State
    ]
    time = [np.diff(np.interp(edges, ends, by)) for by in spent]
    return np.asarray(np.argmax(time, axis=0), dtype=np.int64)


def _lane(drawing: Drawing, y: float, states: NDArray[np.int64]) -> set[State]:
    drawing.rect(_LEFT, y, _RIGHT - _LEFT, _LANE, "running")
    starts = np.flatnonzero(np.append(True, states[1:] != states[:-1]))
    ends = np.append(starts[1:], len(states))
    step = (_RIGHT - _LEFT) / _COLUMNS
    for start, end in zip(starts.tolist(), ends.tolist(), strict=True):
        state = State(int(states[start]))
        if state != State.RUNNING:
            fill, hatch = LOOKS[state]
            x, width = _LEFT + step * start, step * (end - start)
            drawing.rect(x, y, width, _LANE, fill, hatch=hatch if width >= 3 else "")
    return {State(int(state)) for state in np.unique(states)}


def _legend(drawing: Drawing, used: set[State]) -> None:
    x = _LEFT
    for state in sorted(used):
        fill, hatch = LOOKS[state]
        drawing.rect(x, 10, 16, 12, fill, "quiet", hatch=hatch)
        drawing.text(x + 21, 20, state.words, size=11.5)
        x += 21 + 6.6 * len(state.words) + 16


def _hours(drawing: Drawing, shift: TypicalShift, bottom: float) -> None:
    every = next(step for step in (0.25, 0.5, 1.0, 2.0, 4.0, 8.0) if shift.hours / step <= 13)
    count = int(shift.hours / every + 1e-9)
    first = (shift.start_ns - shift.record.start_ns) / HOUR
    since = f"hours into the shift (which began at hour {first:g} of the run)" if first else "hours"
    along = _onto(shift.hours, _LEFT, _RIGHT)
    for hour in (every * n for n in range(count + 1)):
        x = along(hour)
        drawing.line((x, _TOP - 6), (x, bottom), colour="grid")
        drawing.text(x, bottom + 16, f"{hour:g}", "quiet", size=12, anchor="middle")
    middle = (_LEFT + _RIGHT) / 2
    drawing.text(middle, bottom + 38, since, "quiet", size=12.5, anchor="middle")


def _onto(most: float, start: float, end: float) -> Callable[[float], float]:
    """Where values stand of which 0 is at ``start`` and ``most`` at ``end``."""
    return lambda value: start + (end - start) * value / most


def _bridge(drawing: Drawing, shift: TypicalShift, top: float) -> None:
    assert shift.record.history is not None
    foot = top + 84
    times, level = shift.record.history.bridge_level()
    places = shift.record.scenario.bridge_places
    drawing.text(_LEFT, top - 7, "reams on the bridge", size=12.5, bold=True)
    drawing.text(_LEFT - 8, top + 10, f"{places:,}", "quiet", size=11.5, anchor="end")
    drawing.text(_LEFT - 8, foot, "0", "quiet", size=11.5, anchor="end")
    drawing.line((_LEFT, top), (_RIGHT, top), colour="blocked", dashed=True)
    drawing.text(_RIGHT + 6, top + 5, "full", "quiet", size=11.5)
    drawing.line((_LEFT, foot), (_RIGHT, foot), colour="faint")
    if not len(times):
        return
    edges = np.linspace(shift.start_ns, shift.end_ns, _COLUMNS // 2 + 1)
    low, high = [], []
    for n, (a, b) in enumerate(pairwise(edges)):
        first = max(0, int(np.searchsorted(times, a, side="right")) - 1)
        last = max(first + 1, int(np.searchsorted(times, b, side="right")))
        low.append((n + 0.5, float(level[first:last].min())))
        high.append((n + 0.5, float(level[first:last].max())))
    across, up = _onto(len(low), _LEFT, _RIGHT), _onto(places, foot, top)
    area = ((across(column), up(reams)) for column, reams in (*high, *reversed(low)))
    drawing.area(*area, fill="accent", stroke="accent")


def _reams(drawing: Drawing, shift: TypicalShift, top: float, bottom: float) -> None:
    flow = outflow(shift.record)
    edges = np.linspace(shift.start_ns, shift.end_ns, 201).astype(np.int64)
    good, promised = flow.good(edges), flow.promised(edges)
    counts, straight = (good - good[0]).tolist(), (promised - promised[0]).tolist()
    made, promise = int(counts[-1]), float(straight[-1])
    # On work that entered it before, a line can be ahead of its nameplate for a while.
    most = max(promise, float(made), 1.0)
    drawing.text(_LEFT, top - 7, "good reams out", size=12.5, bold=True)
    across, up = _onto(200, _LEFT, _RIGHT), _onto(most, bottom, top)
    line, above = (
        [(across(n), up(reams)) for n, reams in enumerate(each)] for each in (counts, straight)
    )
    drawing.area(*above, *reversed(line), fill="grid")
    drawing.line(*above, colour="quiet", dashed=True)
    drawing.line(*line, colour="good", thick=2.2)
    drawing.line((_LEFT, bottom), (_RIGHT, bottom), colour="faint")
    high, low = up(promise), up(made)
    if abs(high - low) < 28:
        low = high + 28
    drawing.text(_RIGHT + 6, high + 9, f"{round(promise):,}", "quiet", size=12)
    drawing.text(_RIGHT + 6, high + 22, "by nameplate", "quiet", size=10.5)
    drawing.text(_RIGHT + 6, low + 9, f"{made:,}", "good", size=12.5, bold=True)
    drawing.text(_RIGHT + 6, low + 22, "this shift", "quiet", size=10.5)
