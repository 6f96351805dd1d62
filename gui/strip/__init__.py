"""The strip: all stations over one time axis."""
