"""The run on screen."""

from gui.shift.shown import ShownShift

__all__ = ["ShownShift"]
