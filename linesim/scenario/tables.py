"""The tables of a scenario file, one per part of the line, in the order the material moves."""

from linesim.scenario.fields import Name
from linesim.scenario.running_tables import (
    Break,
    Calendar,
    Changeover,
    Crew,
    Holiday,
    LineTable,
    Money,
    Order,
    PlannedWork,
    Start,
)
from linesim.scenario.sheeting_tables import Cutter, Gate, Product, Reels, Slitter, Unwind, WebPath
from linesim.scenario.wrapping_tables import (
    Bridge,
    Divert,
    OverlapBelt,
    Pockets,
    Rework,
    Transfer,
    Wrapper,
)

__all__ = [
    "Break",
    "Bridge",
    "Calendar",
    "Changeover",
    "Crew",
    "Cutter",
    "Divert",
    "Gate",
    "Holiday",
    "LineTable",
    "Money",
    "Name",
    "Order",
    "OverlapBelt",
    "PlannedWork",
    "Pockets",
    "Product",
    "Reels",
    "Rework",
    "Slitter",
    "Start",
    "Transfer",
    "Unwind",
    "WebPath",
    "Wrapper",
]
