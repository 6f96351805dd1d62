"""What the parts of a line tell each other across the order in which they are written.

The paper moves one way, but the parts tell each other in circles: a full bridge stops the webs,
webs that stand are shown by all. What is defined further on is reached by way of this module, which
looks it up when it is first needed.
"""

# ruff: noqa: F403
from __future__ import annotations

from types import ModuleType
from typing import TYPE_CHECKING, Any

import linesim.line

if TYPE_CHECKING:
    from linesim.line.bridge import *
    from linesim.line.calendar import *
    from linesim.line.cartons import *
    from linesim.line.crew import *
    from linesim.line.cutting import *
    from linesim.line.end_of_line import *
    from linesim.line.events import *
    from linesim.line.joints import *
    from linesim.line.machine import *
    from linesim.line.orders import *
    from linesim.line.packing import *
    from linesim.line.pallets import *
    from linesim.line.reel_truck import *
    from linesim.line.rework import *
    from linesim.line.spares import *
    from linesim.line.states import *
    from linesim.line.transfer import *
    from linesim.line.unwind import *
    from linesim.line.web_breaks import *
    from linesim.line.web_motion import *
    from linesim.line.web_plan import *
    from linesim.line.web_stops import *
    from linesim.line.webs import *
    from linesim.line.wrapper import *


def __getattr__(name: str) -> Any:
    for part in vars(linesim.line).values():
        if isinstance(part, ModuleType) and name in vars(part):
            return globals().setdefault(name, vars(part)[name])
    raise AttributeError(name)
