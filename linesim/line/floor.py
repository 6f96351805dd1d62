"""What all parts of the line share: time, luck, people, accounts."""

from __future__ import annotations

from collections.abc import Callable

from linesim.line.chance import Chance
from linesim.line.clock import Clock
from linesim.line.crew import Crew
from linesim.line.run_in import run_in_ns
from linesim.record import Books, Ledger
from linesim.scenario import Scenario


class Floor:
    """The floor the line stands on.

    Some parts run ahead of no one but lag behind: what they did since the last event is worked
    out when somebody needs it. Whoever changes what others can see calls ``settle`` first (all
    catch up to now) and ``show`` afterwards (the accounts take up the new states).
    """

    def __init__(
        self,
        scenario: Scenario,
        env: Clock,
        chance: Chance,
        ledger: Ledger,
        *,
        keep: bool,
    ) -> None:
        self.scenario = scenario
        self.env = env
        self.chance = chance
        self.crew = Crew(env, scenario.crew)
        self.ledger = ledger
        self.books = Books()
        self.keep = keep
        self.run_in_ns = run_in_ns(scenario)
        """What runs before counting begins; calendar and forced stops start after it."""
        self._settlers: list[Callable[[], None]] = []
        self._showers: list[Callable[[], None]] = []

    @property
    def now(self) -> int:
        """The moment, ns since the run-in began."""
        return self.env.moment

    def join(self, settle: Callable[[], None] | None, show: Callable[[], None]) -> None:
        """A part of the line joins: how it catches up, and how it shows its states."""
        if settle is not None:
            self._settlers.append(settle)
        self._showers.append(show)

    def settle(self) -> None:
        """Bring every part up to this moment."""
        for settle in self._settlers:
            settle()

    def show(self) -> None:
        """Enter every part's state, as it is from this moment on."""
        for show in self._showers:
            show()
