"""The stop causes that every line of this kind knows, as a table."""

from __future__ import annotations

from rich.console import Console

from linesim.report.plain import plain_table
from linesim.scenario import KNOWN_CAUSES, Stop
from linesim.statistics import counted

_METER_WORDS = {
    "every_running_h": "h running",
    "every_web_km": "km of web",
    "every_cuts": "cuts",
    "every_reams": "reams",
    "every_clock_h": "h by the clock",
}


def print_causes(console: Console) -> None:
    """Print each known cause and the figures it brings."""
    table = plain_table("cause", [])
    for column in ("station", "every (mean)", "restore", "people", "spoils"):
        table.add_column(column, overflow="fold")
    for name in KNOWN_CAUSES:
        stop = Stop.model_validate({"cause": name})
        each = ", each web" if stop.per_web else ""
        planned = ", planned" if stop.planned else ""
        table.add_row(
            name,
            stop.station,
            f"{stop.interval.average():,.0f} {_METER_WORDS[stop.meter]}{each}",
            f"{stop.restore_min.average():g} min{planned}",
            str(stop.people),
            _spoils(stop),
        )
    console.print(table)
    console.print("\nCommon practice, no source: replace these figures by your own.")


def _spoils(stop: Stop) -> str:
    found = []
    if stop.spoils_cuts:
        found.append(f"{stop.spoils_cuts} cuts")
    if stop.spoils_web_m:
        found.append(f"{stop.spoils_web_m:g} m of web")
    if stop.spoils_pockets:
        found.append("pockets")
    if stop.spoils_reams:
        found.append(counted(stop.spoils_reams, "ream"))
    return ", ".join(found)
