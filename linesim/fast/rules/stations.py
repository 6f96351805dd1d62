"""Compiled: numbers of stations, machines and roots: the order of ``line.assembly``."""

from __future__ import annotations

from linesim.fast.parts import part
from linesim.scenario import WEB_STATIONS

WEBS_N = len(WEB_STATIONS)
CUTTER = WEB_STATIONS.index("cutter")
WEB_PATH = WEB_STATIONS.index("web_path")
TRANSFER, BRIDGE, WRAPPER = 0, 1, 2
"""Machines, in the order of their stations; the outfeed is the last."""
HOME, PICK, CARRY, AT_BRIDGE, PLACE, RETURN = range(6)
"""Phases of the transfer."""


@part
def outfeed_machine(s):
    """The last of ``Line.machines``, where there is one."""
    return WRAPPER + s.k_n


@part
def root_at(station, cause):
    """For compiled code: a station and a cause in one number; either may be -1."""
    return ((station + 1) << 16) + cause + 1


@part
def station_of(root):
    """For compiled code: the station of a root; -1: none."""
    return (root >> 16) - 1


@part
def cause_of(root):
    """For compiled code: the cause of a root; -1: none."""
    return (root & 65535) - 1
