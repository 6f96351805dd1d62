"""The divert: which wrapper gets the next ream. Its rule is asked anew for every ream."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from linesim.line.wrapper import Wrapper

if TYPE_CHECKING:
    from linesim.line.line import Line
    from linesim.line.site import Site

RULES = ("nearest_free", "in_turn", "second_above_level", "hot_standby")
NEAREST_FREE, IN_TURN, SECOND_ABOVE_LEVEL, HOT_STANDBY = range(4)


@dataclass(slots=True)
class Divert:
    """The rule of the scenario."""

    rule: int
    second_at: int
    """Level from which on others than the first wrapper take reams."""
    turn: int = 0
    """The wrapper whose turn it is."""


def new_divert(site: Site) -> Divert:
    """The first wrapper's turn."""
    table = site.scenario.divert
    return Divert(RULES.index(table.rule), table.second_at_reams or 0)


# -- rules ---------------------------------------------------------------------------------------


def may_take(line: Line, wrapper: Wrapper) -> bool:
    """Whether the rule gives the next ream to this wrapper."""
    if wrapper.busy or wrapper.stands or wrapper.holding:
        return False
    rule, first = line.divert.rule, line.wrappers[0]
    if rule == IN_TURN:
        return wrapper.which == _whose_turn(line)
    if rule == SECOND_ABOVE_LEVEL:
        if line.bridge.level < line.divert.second_at and not first.stands:
            return wrapper.which == 0
        return True
    if rule == HOT_STANDBY:
        return first.stands or wrapper.which == 0
    return True


def keeps_from(line: Line, wrapper: Wrapper) -> bool:
    """Whether the rule gives this wrapper no ream though there may be one."""
    if wrapper.which == 0 or line.wrappers[0].stands:
        return False
    if line.divert.rule == SECOND_ABOVE_LEVEL:
        return 0 < line.bridge.level < line.divert.second_at
    return line.divert.rule == HOT_STANDBY


def _whose_turn(line: Line) -> int:
    """The next in turn that does not stand; -1 where all do."""
    wrappers = len(line.wrappers)
    best, nearest = -1, wrappers
    for wrapper in line.wrappers:
        distance = (wrapper.which - line.divert.turn) % wrappers
        if not wrapper.stands and distance < nearest:
            best, nearest = wrapper.which, distance
    return best
