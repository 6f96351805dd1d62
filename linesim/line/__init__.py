"""The line in simulated time: every station, and one run of them all."""

from linesim.line.assembly import station_names
from linesim.line.simulate import simulate

__all__ = ["simulate", "station_names"]
