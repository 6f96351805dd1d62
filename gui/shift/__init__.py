"""The run on screen."""

from gui.shift.shown import ShownShift
from gui.shift.weak_connection import connect_weakly

__all__ = ["ShownShift", "connect_weakly"]
