"""What the parts of a line are made from: the scenario, its luck, the causes named so far."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line.accounts import CauseNames
from linesim.line.chance import Chance, Stream
from linesim.scenario import WEB_STATIONS, Scenario
from linesim.scenario.goods import Goods


@dataclass
class Site:
    """Where a line is put up."""

    scenario: Scenario
    chance: Chance
    causes: CauseNames
    goods: list[Goods]
    """Of every order in turn; without orders of the scenario's own product."""
    stations: tuple[str, ...]
    run_in_ns: int

    def stream(self, law: object, unit: float, *name: str | int) -> Stream:
        """Draws of a law, in multiples of 1/``unit``."""
        return self.chance.stream(law, unit, *name)  # type: ignore[arg-type]


def station_names(scenario: Scenario) -> tuple[str, ...]:
    """All stations in the order in which the paper moves."""
    wrappers = tuple(wrapper.name for wrapper in scenario.wrapper)
    last = ("outfeed",) if scenario.outfeed is not None else ()
    return (*WEB_STATIONS, "transfer", "bridge", *wrappers, *last)
