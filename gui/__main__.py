"""``python -m gui`` opens the window, as ``linesim-window`` does."""

import sys

import linesim


def main() -> None:
    """Entry of ``linesim-window``. An interrupt is answered in words while it is loading, too."""
    linesim.platforms.begin_process()
    linesim.interrupts.note_interrupts()
    linesim.folders.keep_in_own_folders()
    linesim.log_file.begin_log("linesim-window")
    try:
        from gui.command import main as command

        command()
    except BaseException as error:
        if not isinstance(error, KeyboardInterrupt) and not (
            isinstance(error, Exception) and linesim.interrupts.interrupted()
        ):
            raise
        print("Stopped.", file=sys.stderr)
        raise SystemExit(130) from None


if __name__ == "__main__":
    main()
