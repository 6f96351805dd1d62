"""How a command ends that does not end well: exit codes, and a refusal in words."""

from __future__ import annotations

import click

FAULT_OF_THE_PROGRAM = 1
BAD_INPUT = 2
AUDIT_FAILED = 3
STOPPED = 130


class RefusedError(click.ClickException):
    """What cannot be done as asked."""

    exit_code = BAD_INPUT


def os_error_words(error: OSError) -> str:
    """What the system refused, and of which file."""
    what = f"{error.filename}: " if error.filename else ""
    return f"{what}{error.strerror or error}"
