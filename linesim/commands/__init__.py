"""The ``linesim`` command."""

from linesim.commands.main import main

__all__ = ["main"]
