"""Runs by the sooner of two engines: the SimPy line, or the same line compiled.

``engine`` has the one call. A scenario is assembled by ``linesim.line``, copied to flat memory
(``lowering``, laid out in ``layout``), run by compiled parts (``rules``, each module beside the
one of its name in ``linesim.line``), and its accounts are handed back (``compiled_run``).
``compiling`` turns the parts into machine code, ``kept_engine`` keeps it.
"""

from linesim.fast.coverage import reasons_not_covered
from linesim.fast.engine import Engine, NoCompiledEngineError, chosen, simulate
from linesim.fast.readiness import EngineState, is_quick, ready_engine, see_to_engine

__all__ = [
    "Engine",
    "EngineState",
    "NoCompiledEngineError",
    "chosen",
    "is_quick",
    "ready_engine",
    "reasons_not_covered",
    "see_to_engine",
    "simulate",
]
