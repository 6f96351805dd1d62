"""The line drawn to its own numbers, at the moment of the cursor."""

from gui.plan.drawing import draw_plan
from gui.plan.layout import PlanLayout
from gui.plan.player import Player
from gui.plan.view import PlanView

__all__ = ["PlanLayout", "PlanView", "Player", "draw_plan"]
