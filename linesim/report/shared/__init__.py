"""A shift as one file that plays in any browser, without this program and without a network."""

from linesim.report.shared.page import TooLongToShareError, shared_shift

__all__ = ["TooLongToShareError", "shared_shift"]
