"""Which engine will make the runs of some work, and having the compiled one made if it pays."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.fast import kept_engine
from linesim.fast.engine import chosen

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
    if chosen() == "interpreted":
        return EngineState(ready=False, making=False, words="")
    if kept_engine.file() is None:
        return EngineState(ready=False, making=False, words=_NO_COMPILER)
    if trouble := kept_engine.why_not_made():
        words = f"The compiled engine could not be made, so runs take longer: {trouble}"
        return EngineState(ready=False, making=False, words=words)
    if kept_engine.make_in_background():
        return EngineState(ready=False, making=True, words=_BEING_MADE)
    return EngineState(ready=True, making=False, words="")


def is_quick() -> bool:
    """True where the compiled engine is there and will make the runs."""
    return chosen() != "interpreted" and kept_engine.ready() is not None


def ready_engine(hours: float) -> str:
    """See to the engine for ``hours`` simulated hours, all runs together.

    Where it has not been made on this machine, another process begins to make it; nobody waits for
    that, and the figures are the same either way. Answers what a user should know in a sentence;
    empty where all is as usual.
    """
    return see_to_engine().words if hours >= WORTH_HOURS else ""
