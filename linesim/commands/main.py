"""The command and its sub-commands, and how it ends when something is wrong.

Exit codes: 0 done; 1 a fault of the program; 2 the input cannot be used; 3 an audit found
something; 130 stopped from the keyboard.
"""

from __future__ import annotations

import errno
from typing import Any

import click

from linesim.commands.about import about
from linesim.commands.causes import causes
from linesim.commands.check import check
from linesim.commands.exit_codes import BAD_INPUT, FAULT_OF_THE_PROGRAM, STOPPED, os_error_words
from linesim.commands.fit_stops import fit_stops
from linesim.commands.glossary import glossary
from linesim.commands.manual import manual
from linesim.commands.rates import rates
from linesim.commands.report import report
from linesim.commands.run import run
from linesim.commands.schema import schema
from linesim.commands.state import state
from linesim.commands.study_commands import STUDY_COMMANDS
from linesim.interrupts import interrupted
from linesim.log_file import note_fault
from linesim.platforms import make_output_forgiving
from linesim.version import __version__

_NOTHING = "Stopped before anything was complete: nothing to report."


class _Command(click.Group):
    """A group that ends with a line a person can use, whatever happens below it."""

    def invoke(self, ctx: click.Context) -> Any:
        make_output_forgiving()
        try:
            return super().invoke(ctx)
        except (click.ClickException, click.exceptions.Exit, click.Abort):
            raise
        except KeyboardInterrupt:
            click.echo(_NOTHING, err=True)
            ctx.exit(STOPPED)
        except OSError as error:
            if error.errno == errno.EPIPE:
                raise
            click.echo(f"linesim: {os_error_words(error)}", err=True)
            ctx.exit(BAD_INPUT)
        except MemoryError:
            click.echo("linesim: out of memory; ask for fewer hours, or leave out --csv", err=True)
            ctx.exit(FAULT_OF_THE_PROGRAM)
        except Exception as error:
            if interrupted():
                # What it cut off failed in its own way.
                click.echo(_NOTHING, err=True)
                ctx.exit(STOPPED)
            from linesim.line import RunGivenUpError
            from linesim.scenario import ScenarioFaults
            from linesim.studies.cluster import WorkersLostError

            if isinstance(error, WorkersLostError):
                click.echo(f"linesim: {error}", err=True)
                ctx.exit(FAULT_OF_THE_PROGRAM)
            if isinstance(error, ScenarioFaults | RunGivenUpError):
                click.echo(f"linesim: {error}", err=True)
                ctx.exit(BAD_INPUT)
            note_fault(error)
            click.echo(
                f"linesim: an error in the program, not in your input: {type(error).__name__}:"
                f" {' '.join(str(error).split()) or 'no more is known'}",
                err=True,
            )
            ctx.exit(FAULT_OF_THE_PROGRAM)


@click.group(
    cls=_Command,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    no_args_is_help=True,
)
@click.version_option(__version__, package_name="linesim", message="%(prog)s %(version)s")
def main() -> None:
    """Says what a sheeting-and-wrapping line will really deliver, and why it falls short.

    A line is described in a scenario file. Try it with a demo scenario:

    \b
        linesim run short-bridge
    """


for _command in (
    run,
    report,
    rates,
    check,
    causes,
    schema,
    state,
    glossary,
    manual,
    *STUDY_COMMANDS,
    fit_stops,
    about,
):
    main.add_command(_command)
