"""Which engine will make the runs of some work, and having the compiled one made if it pays."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from linesim.fast import kept_engine
from linesim.fast.coverage import reasons_not_covered
from linesim.fast.engine import chosen
from linesim.scenario import Scenario

WORTH_HOURS = 100.0
"""Simulated hours below which making the compiled engine would not pay even over many starts."""

_NO_COMPILER = "The packages numba and llvmlite are not here: runs take longer."
_BEING_MADE = (
    "The compiled engine is being made beside this, once on this machine; until it is there runs"
    " take longer. The figures are the same."
)


@dataclass(frozen=True)
class EngineState:
    """How it stands with the compiled engine, and what a user should know of that.

    Neither ``ready`` nor ``making``: it could not be made, or nobody wants it (no words then).
    """

    ready: bool
    making: bool
    words: str


def see_to_engine() -> EngineState:
    """Have the compiled engine made, unless it is there, and say how that stands.

    To be asked again until it is no longer being made; nobody waits for anything.
    """
    if chosen() == "simpy":
        return EngineState(ready=False, making=False, words="")
    if kept_engine.file() is None:
        return EngineState(ready=False, making=False, words=_NO_COMPILER)
    if trouble := kept_engine.why_not_made():
        words = f"The compiled engine could not be made, so runs take longer: {trouble}"
        return EngineState(ready=False, making=False, words=words)
    if kept_engine.make_in_background():
        return EngineState(ready=False, making=True, words=_BEING_MADE)
    return EngineState(ready=True, making=False, words="")


def is_quick(scenarios: Iterable[Scenario]) -> bool:
    """True where the compiled engine is there and will make the runs of all these lines."""
    if chosen() == "simpy" or any(reasons_not_covered(each) for each in scenarios):
        return False
    return kept_engine.ready() is not None


def ready_engine(scenarios: Iterable[Scenario], hours: float) -> str:
    """See to the engine for ``hours`` simulated hours of these lines, all runs together.

    Where the compiled engine covers a line and has not been made on this machine, another process
    begins to make it; nobody waits for that, and the figures are the same either way. Answers
    what a user should know in one or two sentences; empty where all is as usual.
    """
    if chosen() == "simpy" or hours < WORTH_HOURS:
        return ""
    reasons = {name: reasons_not_covered(each) for name, each in _by_name(scenarios)}
    not_covered = {name: words for name, words in reasons.items() if words}
    words = "".join(
        f"The SimPy line makes the runs of {name}, which take longer: {'; '.join(why)}. "
        for name, why in not_covered.items()
    )
    if len(not_covered) == len(reasons):
        return words.rstrip()
    if kept_engine.file() is None:
        return f"{words}{_NO_COMPILER}"
    if kept_engine.make_in_background():
        return f"{words}{_BEING_MADE}"
    return words.rstrip()


def _by_name(scenarios: Iterable[Scenario]) -> list[tuple[str, Scenario]]:
    return [(each.line.name or "this line", each) for each in scenarios]
