"""Where the invented plant of the worked example stands."""

from __future__ import annotations

from pathlib import Path

from linesim.scenario import shipped_scenarios


def invented_plant() -> tuple[Path, Path]:
    """Its stop log, as dirty as real ones, and its production counts."""
    folder = next(iter(shipped_scenarios().values())).parent / "plant"
    return folder / "stop-log.csv", folder / "production.csv"
