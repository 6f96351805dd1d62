"""The figures of the line on screen: the row, the staircase of losses, the V of rates."""

from gui.headline.losses import LossStaircase
from gui.headline.rates import VView
from gui.headline.row import HeadlineView

__all__ = ["HeadlineView", "LossStaircase", "VView"]
