"""The divert: which wrapper gets the next ream."""

from __future__ import annotations

from linesim.line.bridge import Bridge
from linesim.line.wrapper import Wrapper
from linesim.scenario import Scenario


class Divert:
    """The rule of the scenario, asked anew for every ream."""

    def __init__(self, scenario: Scenario, bridge: Bridge, wrappers: list[Wrapper]) -> None:
        self._bridge = bridge
        self._wrappers = wrappers
        self.rule = scenario.divert.rule
        self.second_at = scenario.divert.second_at_reams or 0
        self.turn = 0
        """Number of the wrapper whose turn it is."""
        self.heeds_level = self.rule == "second_above_level"
        """The rule asks for the level at the moment of each ream."""

    def may_take(self) -> list[Wrapper]:
        """The wrappers to which the rule gives the next ream."""
        free = [w for w in self._wrappers if not (w.busy or w.stops or w.holding)]
        first = self._wrappers[0]
        match self.rule:
            case "in_turn":
                up = [w for w in self._wrappers if not w.stops]
                if not up:
                    return []
                whose = min(up, key=lambda w: (w.number - self.turn) % len(self._wrappers))
                return [whose] if whose in free else []
            case "second_above_level":
                if self._bridge.level < self.second_at and not first.stops:
                    return [w for w in free if w is first]
                return free
            case "hot_standby":
                return free if first.stops else [w for w in free if w is first]
            case _:
                return free

    def taken_by(self, wrapper: Wrapper) -> None:
        """This one has taken a ream."""
        self.turn = (wrapper.number + 1) % len(self._wrappers)

    def keeps_from(self, wrapper: Wrapper) -> bool:
        """Whether the first wrapper, not this one, is to have the reams that are there."""
        first = self._wrappers[0]
        if wrapper.number == 0 or first.stops:
            return False
        if self.rule == "second_above_level":
            return 0 < self._bridge.level < self.second_at
        return self.rule == "hot_standby"
