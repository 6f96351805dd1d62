"""The run on screen."""

from gui.shift.listening import listen
from gui.shift.shown import ShownShift

__all__ = ["ShownShift", "listen"]
