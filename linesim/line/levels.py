"""What the controls do at certain levels of the bridge: slow the webs, stop them, restart them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from linesim.line.clock import NEVER
from linesim.line.holds import LEVEL_HOLD, PlainHold
from linesim.record.states import Kind, State

if TYPE_CHECKING:
    from linesim.line.bridge import Bridge
    from linesim.line.floor import Floor
    from linesim.line.transfer import Transfer
    from linesim.line.webs import Webs


class Levels:
    """Slow, stop and restart level. Catching up is the wrappers' own affair.

    A sheeter stopped by level starts again only when the bridge has fallen to the restart level:
    fewer starts and fewer rejects, and less output (Gebennini, Grassi and Fantuzzi 2015).
    """

    def __init__(self, floor: Floor, webs: Webs, transfer: Transfer, bridge: Bridge) -> None:
        table = floor.scenario.bridge
        self._webs, self._transfer, self._bridge = webs, transfer, bridge
        self.slow_at = table.slow_at_reams
        self.stop_at = table.stop_at_reams
        self.restart_at = table.restart_at_reams
        if self.stop_at is not None and self.restart_at is None:
            self.restart_at = self.stop_at - 1
        self.cause = floor.ledger.cause("bridge at stop level", Kind.RATE)
        self._slowed = False
        self._hold: PlainHold | None = None
        bridge.level_rose = self._rose
        # The wrappers' rules look at the level too: what they did before is settled first.
        heeded = (
            self.slow_at,
            self.stop_at,
            table.catch_up_at_reams,
            floor.scenario.divert.second_at_reams,
        )
        levels = [level for level in heeded if level is not None]
        bridge.heed_level = 0 if table.when_full == "set_aside" else min([NEVER, *levels])

    def _rose(self) -> None:
        level = self._bridge.level
        if self.slow_at is not None and not self._slowed and level >= self.slow_at:
            self._slowed = True
            self._webs.set_slow(True)
            self._bridge.wait_for(self.slow_at - 1)
        if self.stop_at is not None and self._hold is None and level >= self.stop_at:
            assert self.restart_at is not None
            self._hold = PlainHold(LEVEL_HOLD, self.cause, State.BLOCKED)
            self._webs.add(self._hold)
            self._bridge.wait_for(self.restart_at)

    def fell(self) -> None:
        """The level has fallen to something that somebody waits for."""
        level, bridge = self._bridge.level, self._bridge
        if self._slowed and self.slow_at is not None:
            if level < self.slow_at:
                self._slowed = False
                self._webs.set_slow(False)
            else:
                bridge.wait_for(self.slow_at - 1)
        if self._hold is not None and self.restart_at is not None:
            if level <= self.restart_at:
                hold, self._hold = self._hold, None
                self._webs.release(hold)
            else:
                bridge.wait_for(self.restart_at)
        self._transfer.room()
