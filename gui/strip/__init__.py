"""The strip: all stations over one time axis."""

from gui.strip.view import StripView

__all__ = ["StripView"]
