"""``python -m linesim`` is the ``linesim`` command."""

import sys


def main() -> None:
    """Entry of ``linesim``. An interrupt is answered in words while the program is loading, too."""
    try:
        from linesim.commands import main as command

        command()
    except KeyboardInterrupt:
        print("Stopped before anything was complete: nothing to report.", file=sys.stderr)
        raise SystemExit(130) from None


if __name__ == "__main__":
    main()
