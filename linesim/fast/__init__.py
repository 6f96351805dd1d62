"""Runs by the sooner of two engines: the SimPy line, or the same line compiled.

``engine`` has the one call. A scenario is assembled by ``linesim.line``, copied to flat memory
(``lowering``, laid out in ``layout``), run by compiled parts (``kernel`` and what it names) and
its accounts handed back (``compiled_run``). ``kept_engine`` keeps the machine code.
"""

from linesim.fast.coverage import reasons_not_covered
from linesim.fast.engine import Engine, NoCompiledEngineError, chosen, simulate
from linesim.fast.readiness import is_quick, ready_engine

__all__ = [
    "Engine",
    "NoCompiledEngineError",
    "chosen",
    "is_quick",
    "ready_engine",
    "reasons_not_covered",
    "simulate",
]
