"""``python -m linesim.fast.making``: make the compiled engine now.

With the name of a folder, that of a bundle into it.
"""

from __future__ import annotations

import sys
from pathlib import Path

from linesim.platforms import give_way


def main() -> int:
    """Make the engine, giving way to everything else; 0 when it is there."""
    from linesim.fast.kept_engine import make, make_to_ship

    give_way(10)
    try:
        print(make_to_ship(Path(sys.argv[1])) if len(sys.argv) > 1 else make())
    except (ImportError, OSError) as error:
        print(error, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
