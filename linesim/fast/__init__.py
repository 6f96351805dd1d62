"""Runs by compiled code: the rules of ``linesim.line``, and a line's state in flat memory.

``engine`` has the one call. ``layout`` says where each field of a record lies, ``memory`` writes a
line there and reads it back, ``record_types`` tells numba of it; ``compiling`` makes machine code
of all rules, ``kept_engine`` keeps it, ``compiled`` makes a run with it.
"""

from linesim.fast.engine import Engine, NoCompiledEngineError, chosen, simulate, state_after
from linesim.fast.readiness import EngineState, is_quick, ready_engine, see_to_engine

__all__ = [
    "Engine",
    "EngineState",
    "NoCompiledEngineError",
    "chosen",
    "is_quick",
    "ready_engine",
    "see_to_engine",
    "simulate",
    "state_after",
]
