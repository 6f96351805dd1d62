"""What the first answer needs, loaded beside the window before it is there."""

import sys
from importlib import import_module
from threading import Thread

_NEEDED = ("pyqtgraph", "scipy.special", "gui.charts.curve", "gui.charts.bars", "gui.charts.plot")


def load_plots_ahead() -> None:
    """Begin to load plots in a thread: a fifth of a second in which the window would stand still.

    These modules make classes and values, no object of Qt that belongs to a thread. Who needs one
    before it is there imports it, and waits for the rest.
    """
    if _NEEDED[-1] not in sys.modules:
        Thread(target=_load, daemon=True).start()


def _load() -> None:
    for name in _NEEDED:
        import_module(name)
