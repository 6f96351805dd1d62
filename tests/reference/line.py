"""The line once more, in SimPy's own idiom: the judge of the program's rules.

Processes, stores and events, written from the description of the line and the meaning of the
scenario's fields. It shares no code with the rules it judges, draws its own luck unless told
otherwise, counts times as floats, and keeps no accounts: good reams, stops and rejects are what
it is asked for. It begins with everything new, and without orders makes one product for ever.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import simpy

from tests.reference.bridge import Bridge, Transfer
from tests.reference.luck import Luck
from tests.reference.machines import Machine
from tests.reference.packing import Packing
from tests.reference.people import Crew
from tests.reference.shifts import Calendar
from tests.reference.webs import Webs


@dataclass(frozen=True)
class Result:
    """What was counted between the warm-up and the end."""

    good: int
    web_stops: int
    rejected_cuts: int
    mean_level: float


class ReferenceLine:
    """Webs, transfer, bridge, wrappers, rework table and what is behind, with their crew."""

    def __init__(self, scenario: Any, luck: Luck) -> None:
        self.env = env = simpy.Environment()
        self.crew = crew = Crew(env, scenario)
        self.webs = Webs(env, scenario, luck, crew)
        self.bridge = Bridge(env, scenario, luck, crew, self.webs)
        self.transfer = Transfer(env, scenario, luck, crew, self.webs, self.bridge)
        self.packing = Packing(env, scenario, luck, crew, self.bridge)
        self.machines: list[Machine] = [self.transfer, self.bridge, *self.packing.wrappers]
        for here in self.packing.behind:
            self.machines += here
        self.calendar = Calendar(env, scenario, crew, self._stand)

    def run(self, hours: float, warm_up_h: float = 0.0) -> Result:
        """Run, and count what happens after the warm-up."""
        if warm_up_h:
            self.env.run(until=warm_up_h * 3600)
        before = self._counts()
        self.env.run(until=(warm_up_h + hours) * 3600)
        good, stops, rejected, level_s = (
            now - then for now, then in zip(self._counts(), before, strict=True)
        )
        return Result(int(good), int(stops), int(rejected), level_s / (hours * 3600))

    def _counts(self) -> tuple[float, ...]:
        good = len(self.packing.wrapped_s) + self.packing.rework.saved
        return good, self.webs.stops, self.webs.sheets.rejected, self.bridge.mean_level_s()

    def _stand(self) -> Callable[[], None]:
        """Everything stands, until what is given back is called."""
        hold = self.webs.hold()
        for machine in self.machines:
            machine.stand()

        def go_on() -> None:
            self.webs.release(hold)
            for machine in self.machines:
                machine.go_on()

        return go_on
