"""The figures of the line on screen: the row, the gap by cause, the staircase of losses, the V."""

from gui.headline.gap import GapView
from gui.headline.losses import LossStaircase
from gui.headline.rates import VView
from gui.headline.row import HeadlineView

__all__ = ["GapView", "HeadlineView", "LossStaircase", "VView"]
