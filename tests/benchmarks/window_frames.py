"""How long the strip takes to draw a frame, over a shift, a week and a year of spans.

A shift is run, and its columns are laid end to end until they fill the time. Frames are drawn
into a pixmap of 1900 x 1000 while the strip pans and zooms.
"""

from __future__ import annotations

import statistics
import time
from dataclasses import fields, replace

import numpy as np
from PySide6.QtCore import QPoint
from PySide6.QtGui import QPixmap
from PySide6.QtWidgets import QApplication

import linesim
from gui.shift import ShownShift
from gui.strip import StripView
from linesim.record import History, Record

SHIFT_H = 8
AIM_MS = 33
WIDE, HIGH = 1900, 1000


def tiled(record: Record, times: int) -> Record:
    """The run ``times`` over, one after the other: its columns with later moments."""
    history = record.history
    assert history is not None
    length = record.end_ns - record.start_ns
    columns: dict[str, object] = {}
    for field in fields(History):
        value = getattr(history, field.name)
        if isinstance(value, np.ndarray):
            columns[field.name] = _over(value, times, length if _is_time(field.name) else 0)
    spans = {
        field.name: _over(
            getattr(history.spans, field.name), times, length if _is_time(field.name) else 0
        )
        for field in fields(history.spans)
    }
    made = replace(history, spans=replace(history.spans, **spans), **columns)
    return replace(record, end_ns=record.start_ns + times * length, history=made)


def _is_time(name: str) -> bool:
    return name.endswith("_ns")


def _over(column: np.ndarray, times: int, shift: int) -> np.ndarray:
    if not shift:
        return np.tile(column, times)
    laid = column[None, :] + (np.arange(times, dtype=np.int64) * shift)[:, None]
    return laid.reshape(-1)


def frame_ms(view: StripView, screen: QPixmap) -> float:
    """Processor time to draw the strip from its columns, ms; nothing is kept from a frame before.

    Processor time, since others share the machine; alone on it the clock shows the same.
    """
    canvas = view.canvas
    if screen.size() != canvas.size():
        screen.swap(QPixmap(canvas.size()))
    begun = time.process_time()
    canvas.render(screen, QPoint())
    return (time.process_time() - begun) * 1000


def measure(view: StripView, frames: int) -> dict[str, list[float]]:
    """Frames while panning at several zooms, and while zooming from all to a second."""
    canvas = view.canvas
    screen = QPixmap(canvas.size())
    whole = canvas.window_of_time
    found: dict[str, list[float]] = {"all, panned": []}
    near = whole.zoomed(1.05, whole.to_ns(0.5))
    for number in range(frames):
        canvas.look_at(near.moved((number % 9 - 4) * near.length_ns // 200))
        found["all, panned"].append(frame_ms(view, screen))
    for name, hours in (("week, panned", 168), ("shift, panned", 8), ("minute, panned", 1 / 60)):
        length = round(hours * linesim.scenario.HOUR)
        if length >= whole.length_ns:
            continue
        part = whole.showing(length, whole.to_ns(0.3))
        found[name] = []
        for number in range(frames):
            canvas.look_at(part.moved(number * length // 50))
            found[name].append(frame_ms(view, screen))
    found["zoomed, all to 1 s"] = []
    for number in range(frames):
        factor = (whole.length_ns / 1e9) ** (number / (frames - 1))
        canvas.look_at(whole.zoomed(factor, whole.to_ns(0.4)))
        found["zoomed, all to 1 s"].append(frame_ms(view, screen))
    return found


def print_frames(app: QApplication, record: Record, frames: int) -> None:
    """Measure and print the frames over one record."""
    shown = ShownShift()
    view = StripView(shown)
    view.resize(WIDE, HIGH)
    view.show()
    app.processEvents()
    shown.show(record)
    app.processEvents()
    for name, times in measure(view, frames).items():
        within = sum(t <= AIM_MS for t in times) / len(times)
        print(
            f"    {name:20} median {statistics.median(times):6.1f}  longest {max(times):6.1f}"
            f"  {within:4.0%} within {AIM_MS} ms"
        )
    view.close()
    view.deleteLater()
    app.processEvents()
