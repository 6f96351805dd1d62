"""The line in simulated time: every station, and one run of them all."""

from linesim.line.simulate import simulate
from linesim.line.site import station_names

__all__ = ["simulate", "station_names"]
