"""``python -m linesim.fast.making``: make the compiled engine now."""

from __future__ import annotations

import os
import sys


def main() -> int:
    """Make the engine, giving way to everything else; 0 when it is there."""
    from linesim.fast.kept_engine import make

    if hasattr(os, "nice"):
        os.nice(10)
    try:
        print(make())
    except (ImportError, OSError) as error:
        print(error, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
