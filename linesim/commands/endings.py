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
