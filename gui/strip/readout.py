"""What every row of the strip says at one moment, in words."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

import linesim
from gui.strip.curves import RunCurves
from gui.strip.lanes import Lane
from gui.strip.rows import TITLES, Row
from linesim.record import WAITING, Record, State

AHEAD = "ahead, no loss"
_AHEAD_TOLD = (
    "  ahead: reams are good when they are wrapped, and some of these were on the line at the start"
    " or have yet to pass its slowest station"
)
CALM = (State.RUNNING, State.SLOWED, State.PLANNED)


@dataclass(frozen=True)
class Reading:
    """One row at one moment; ``state`` is None for the curves and where nothing is wrong.

    ``losses``: what the gap to the nameplate is made of, in the order of its bands.
    """

    row: Row
    state: State | None
    lines: tuple[str, ...]
    losses: tuple[str, ...] = ()


def readings(
    record: Record, curves: RunCurves, ghost: RunCurves | None, rows: list[Row], t_ns: int
) -> list[Reading]:
    """All rows at a moment, top to bottom."""
    return [_reading(record, curves, ghost, row, t_ns) for row in rows]


def _reading(
    record: Record, curves: RunCurves, ghost: RunCurves | None, row: Row, t_ns: int
) -> Reading:
    at = np.array([t_ns], dtype=np.int64)
    if row.what == "orders":
        order = linesim.report.order_at(record, t_ns / linesim.scenario.HOUR)
        words = "no order" if order is None else order.words(record.scenario)
        return Reading(row, None, tuple(words.splitlines()))
    if row.lane is not None:
        state, words = _state(record, row.lane, t_ns)
        if row.what == "lane":
            return Reading(row, state, (words,))
        lines = [f"{int(curves.level.at(at)[0])} of {record.scenario.bridge_places} reams"]
        if state is not None:
            lines.append(words)
        if ghost is not None:
            lines.append(f"{ghost.title}: {int(ghost.level.at(at)[0])}")
        return Reading(row, state, tuple(lines))
    good, promised = int(curves.out.good(at)[0]), float(curves.out.promised(at)[0])
    differs = ""
    if ghost is not None:
        differs = f" ({_signed(good - int(ghost.out.good(at)[0]))})"
    lines = (
        f"{good:,} good reams{differs}",
        f"nameplate {promised:,.0f}, gap {whole(promised - good)}:",
    )
    gap = curves.out.gap(at)
    losses = tuple(_loss(step, float(value[0])) for step, value in gap.items())
    return Reading(row, None, lines, losses)


def _state(record: Record, lane: Lane, t_ns: int) -> tuple[State | None, str]:
    """What a station does at a moment, in words; its state where that is worth a colour."""
    there = lane.row_at(t_ns)
    if there is None:
        return None, ""
    state, root = State(lane.spans.state[there]), int(lane.spans.root_cause[there])
    calm = state in CALM or (state in WAITING and linesim.report.is_pace(record, root))
    return None if calm else state, lane.words_at(record, there)


def _loss(step: str, value: float) -> str:
    """A loss with its name; what is below nothing is none, and no fault of the sum either."""
    return f"{whole(value)} {AHEAD if round(value) < 0 else step}"


def whole(value: float) -> str:
    """A figure without decimals; a little below nothing is nothing."""
    return f"{round(value):,}".replace("-", "−")


def moment_words(record: Record, t_ns: int) -> str:
    """How far into the run a moment is, and when that is where the calendar says when it starts."""
    said, starts = linesim.report.clock_words(t_ns), record.scenario.calendar.start
    return said if starts is None else f"{said}, {linesim.report.clock_words(t_ns, starts)}"


def _signed(value: int) -> str:
    return f"+{value:,}" if value > 0 else f"−{-value:,}" if value < 0 else "±0"


def tip(record: Record, curves: RunCurves, ghost: RunCurves | None, row: Row, t_ns: int) -> str:
    """What a row says at a moment; of a lane also why, from when, and for how long."""
    if row.what != "lane" or row.lane is None:
        title = TITLES[row.what] if row.lane is None else row.lane.title
        reading = _reading(record, curves, ghost, row, t_ns)
        lines = [f"{title} at {moment_words(record, t_ns)}", *reading.lines]
        lines += [f"  {loss}" for loss in reading.losses]
        lines += [_AHEAD_TOLD] * any(loss.endswith(AHEAD) for loss in reading.losses)
        if row.what == "reams" and ghost is not None:
            at = np.array([t_ns], dtype=np.int64)
            lines.append(f"{ghost.title}: {int(ghost.out.good(at)[0]):,}")
        return "\n".join(lines)
    there = row.lane.row_at(t_ns)
    if there is None:
        return ""
    start, end = int(row.lane.spans.start_ns[there]), int(row.lane.spans.end_ns[there])
    words = row.lane.words_at(record, there)
    since = linesim.report.clock_words(start, record.scenario.calendar.start)
    return (
        f"{row.lane.title}\n{words}\nfrom {since}, for {linesim.report.duration_words(end - start)}"
    )
