"""How long a frame of the line drawing takes: finding the moment, and painting it.

    python tests/benchmarks/drawing.py

Prints milliseconds a frame (median and slowest) for every demo line at two sizes. A frame may take
16 ms if playing is to look smooth.
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


def measure(name: str, size: tuple[int, int]) -> tuple[float, list[float], list[float]]:
    """Seconds to index the run, and ms to find and to paint each of some moments."""
    scenario = linesim.load(linesim.find_scenario(name))
    record = linesim.simulate(scenario, seed=1)
    start = time.perf_counter()
    moments = linesim.Moments(record)
    index = time.perf_counter() - start
    choose = random.Random(name)
    image = QImage(*size, QImage.Format.Format_ARGB32_Premultiplied)
    finding, painting = [], []
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
    return index, finding, painting


def main() -> None:
    """Print one line for each demo and size."""
    app = QApplication.instance() or QApplication([])
    print("a shift                 size      index s   find ms   paint ms   slowest paint ms")
    for name in linesim.shipped_scenarios():
        for size in SIZES:
            index, finding, painting = measure(name, size)
            print(
                f"{name:<20} {size[0]:>5} x {size[1]:<5} {index:>7.2f} "
                f"{statistics.median(finding):>9.2f} {statistics.median(painting):>10.2f} "
                f"{max(painting):>12.1f}"
            )
    app.quit()


if __name__ == "__main__":
    main()
