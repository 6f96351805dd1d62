"""What the first answer needs, loaded beside the window before it is there."""

import sys
from importlib import import_module
from threading import Thread

_NEEDED = ("pyqtgraph", "scipy.special")


def load_plots_ahead() -> None:
    """Begin to load plots in a thread: a fifth of a second in which the window would stand still.

    These modules make classes and values, no object of Qt that belongs to a thread. Who needs one
    before it is there imports it, and waits for the rest.
    """
    if any(name not in sys.modules for name in _NEEDED):
        Thread(target=lambda: [import_module(name) for name in _NEEDED], daemon=True).start()
