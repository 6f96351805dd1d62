"""The page of a plant's own stop log: read, put right, fitted, written into the scenario."""

from gui.logs.page import StopLogPage

__all__ = ["StopLogPage"]
