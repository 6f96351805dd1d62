"""``python -m linesim`` is the ``linesim`` command."""

import sys

from linesim.folders import keep_in_own_folders
from linesim.interrupts import interrupted, note_interrupts, note_no_more_interrupts
from linesim.log_file import begin_log
from linesim.platforms import begin_process


def main() -> None:
    """Entry of ``linesim``. An interrupt is answered in words while the program is loading, too."""
    begin_process()
    note_interrupts()
    keep_in_own_folders()
    begin_log("linesim")
    try:
        from linesim.commands import main as command

        command()
    except BaseException as error:
        if not isinstance(error, KeyboardInterrupt) and not (
            isinstance(error, Exception) and interrupted()
        ):
            raise
        print("Stopped before anything was complete: nothing to report.", file=sys.stderr)
        raise SystemExit(130) from None
    finally:
        note_no_more_interrupts()


if __name__ == "__main__":
    main()
