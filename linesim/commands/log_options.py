"""Options of every command that reads a plant's stop log: what its words mean."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from linesim.plant.stop_log import Told
    from linesim.scenario import Scenario

dates_option = click.option(
    "--dates",
    type=click.Choice(["day-first", "month-first", "year-first"]),
    help="What stands first in the dates of the log, and of counts that do not say it themselves;"
    " otherwise told by days above 12, by the shifts of the counts, or by how the days follow each"
    " other. Kept as --column is.",
)
cause_option = click.option(
    "--cause",
    "causes",
    multiple=True,
    metavar="WRITTEN=CAUSE",
    help="What a cause of the log means, such as 'Papierstau=wrapper jam'; the same name twice says"
    " that it is a cause of its own. Several times. Kept for the next log with the same headings.",
)
station_option = click.option(
    "--station",
    "stations",
    multiple=True,
    metavar="WRITTEN=STATION",
    help="Which station a machine of the log is, such as 'Line 3 packer=wrapper'. Several times."
    " Kept as --cause is.",
)


def pairs(option: str, texts: Iterable[str]) -> dict[str, str]:
    """What stands before and after the = of each text. Raises ``UsageError``."""
    found = {}
    for text in texts:
        name, equals, value = text.partition("=")
        if not equals or not name.strip() or not value.strip():
            raise click.UsageError(f"--{option}: {text!r} is not two names with = between")
        found[name.strip()] = value.strip()
    return found


def told_of_log(
    dates: str | None, causes: Iterable[str], stations: Iterable[str], scenario: Scenario | None
) -> Told:
    """What the options tell of a log. Raises ``UsageError`` for a station that there is not."""
    from linesim.plant.date_order import ORDERS
    from linesim.plant.machine_names import station_of
    from linesim.plant.stop_log import Told
    from linesim.scenario import STATIONS

    places = pairs("station", stations)
    for station in places.values():
        if station_of(station, scenario) is None:
            names = [wrapper.name for wrapper in scenario.wrapper] if scenario else []
            known = ", ".join(dict.fromkeys([*STATIONS, *names]))
            raise click.UsageError(f"--station: there is no station {station!r}; one of {known}")
    return Told(ORDERS[dates] if dates else None, pairs("cause", causes), places)
