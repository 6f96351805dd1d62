"""The fine units in which runs are counted: whole nanoseconds and micrometres."""

SECOND = 1_000_000_000
MINUTE = 60 * SECOND
HOUR = 3600 * SECOND
DAY = 24 * HOUR
UM_PER_NS = 1 / 60_000
"""One m/min."""
