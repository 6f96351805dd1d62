"""The line in simulated time: every station, and one run of them all.

A line is one record (``line``); each module has a part of it and the rules by which that part
goes: plain functions, which Python runs (``interpreted``) or ``linesim.fast`` compiles.
``assembly`` puts a line together, ``events`` says who is told when an alarm rings, ``simulate``
makes a run.
"""

from linesim.line.interpreted import Interpreted
from linesim.line.line import station_names
from linesim.line.simulate import Run, simulate, state_after
from linesim.line.typed import RunGivenUpError

__all__ = ["Interpreted", "Run", "RunGivenUpError", "simulate", "state_after", "station_names"]
