"""How quick the window is: its first picture, an edit, the frames of its strip, its stalls.

    QT_QPA_PLATFORM=offscreen python tests/benchmarks/window.py [--days 364] [--frames 60]

Prints figures and fails nobody. Aims: 1.5 s to the first picture, 0.2 s from an edit to the shift
redrawn, 33 ms a frame, 50 ms for the longest stall. Frames are in processor time. The machine may
be shared: its load is printed, and times by the clock are higher then.
"""

from __future__ import annotations

import argparse
import os
import statistics
from collections.abc import Sequence
from tempfile import TemporaryDirectory

from window_frames import SHIFT_H, print_frames, tiled
from window_response import Took, cold_start, edit, load, stall_in_study, wait

import linesim
from gui import dialogs
from gui.command import DEMO, application, load_window

_STARTS = 5
_PLACES = (30, 40, 50, 60, 70, 80, 90)


def said(what: str, found: Sequence[Took], aim: str) -> None:
    """One line: the median, and the least, by clock and of the processor."""
    clock = [took.clock_s for took in found]
    processor = [took.processor_s for took in found]
    print(
        f"{what:34} {statistics.median(clock):7.3f} s (least {min(clock):.3f}), of the processor"
        f" {statistics.median(processor):.3f} s (least {min(processor):.3f}); aim {aim}"
    )


def stalled(what: str, took: Took) -> None:
    """One line on a longest stall."""
    print(
        f"{what:34} {1000 * took.clock_s:5.0f} ms, of the processor"
        f" {1000 * took.processor_s:.0f} ms; aim 50 ms"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--days", type=int, default=364, help="length of the longest run")
    parser.add_argument("--frames", type=int, default=60, help="frames of each kind of panning")
    args = parser.parse_args()
    print(f"{os.cpu_count()} processors, load {os.getloadavg()[0]:.1f} as it begins")
    with TemporaryDirectory() as folder:
        cold_start(folder)
        said("cold start to first picture", [cold_start(folder) for _ in range(_STARTS)], "1.5 s")
    window_class = load_window()
    app = application("light")
    window = window_class(remember=False)
    window.resize(1440, 900)
    window.show()
    window.workspace.open(linesim.scenario.find_scenario(DEMO))
    wait(app, lambda: window.ready)
    edits = []
    for places in _PLACES:
        edits.append(edit(app, window, places))
        wait(app, lambda: window.ready)
    said("edit to redrawn shift", edits, "0.2 s")
    stalled("longest stall during a study", stall_in_study(app, window))
    shift = linesim.fast.simulate(
        linesim.scenario.load(linesim.scenario.find_scenario(DEMO)), hours=SHIFT_H
    )
    for days in sorted({7, args.days}):
        record = tiled(shift, max(1, round(days * 24 / SHIFT_H)))
        assert record.history is not None
        rows = len(record.history.spans.start_ns)
        loaded = load(app, window, record)
        print(f"{days} days, {rows:,} spans: ready for the strip in {loaded.ready_s:.2f} s")
        stalled("    longest stall meanwhile", loaded.beside)
        stalled("    stall when it is shown", loaded.shown)
        print("  ms of processor a frame:")
        print_frames(app, record, args.frames)
    print(f"load {os.getloadavg()[0]:.1f} as it ends")
    # The document was edited: nobody is there to say whether to save it.
    dialogs.choose = lambda *_, **__: dialogs.DISCARD
    window.close()


if __name__ == "__main__":
    main()
