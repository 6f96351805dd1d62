"""How long a frame of the line drawing takes: finding the moment, and painting it.

    python tests/benchmarks/drawing.py

Prints milliseconds a frame for every demo line at two sizes: on the clock (median, slowest) and of
processor time (mean), which a busy machine does not lengthen. A frame may take 16 ms if playing is
to look smooth.
"""

from __future__ import annotations

import os
import random
import statistics
import time

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

import linesim
from gui.look import LIGHT
from gui.plan import draw_plan

FRAMES = 200
SIZES = ((1240, 420), (1880, 900))


def measure(name: str, size: tuple[int, int]) -> tuple[float, float, list[float], float]:
    """Seconds to index the run; then ms a frame: finding, painting, and of the processor."""
    scenario = linesim.scenario.load(linesim.scenario.find_scenario(name))
    record = linesim.fast.simulate(scenario, seed=1)
    start = time.perf_counter()
    moments = linesim.record.Moments(record)
    index = time.perf_counter() - start
    choose = random.Random(name)
    image = QImage(*size, QImage.Format.Format_ARGB32_Premultiplied)
    finding, painting = [], []
    busy = time.process_time()
    for _ in range(FRAMES):
        t = choose.randrange(record.end_ns)
        start = time.perf_counter()
        moment = moments.at(t)
        found = time.perf_counter()
        painter = QPainter(image)
        draw_plan(painter, (float(size[0]), float(size[1])), scenario, moment, LIGHT)
        painter.end()
        finding.append(1000 * (found - start))
        painting.append(1000 * (time.perf_counter() - found))
    processor = 1000 * (time.process_time() - busy) / FRAMES
    return index, statistics.median(finding), painting, processor


def main() -> None:
    """Print one line for each demo and size."""
    app = QApplication.instance() or QApplication([])
    print(f"{'a shift':<14} {'size':>12} {'index s':>8} {'find ms':>8} {'paint ms':>9}", end=" ")
    print(f"{'slowest ms':>11} {'processor ms':>13}")
    for name in linesim.scenario.shipped_scenarios():
        for wide, tall in SIZES:
            index, finding, painting, processor = measure(name, (wide, tall))
            print(
                f"{name:<14} {wide:>6} x {tall:<3} {index:>8.2f} {finding:>8.2f}"
                f" {statistics.median(painting):>9.2f} {max(painting):>11.1f} {processor:>13.2f}"
            )
    app.quit()


if __name__ == "__main__":
    main()
