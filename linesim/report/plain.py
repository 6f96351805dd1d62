"""What every report shares, with or without a run: widths, tables, turns of phrase, notices."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from importlib.resources import files
from io import StringIO
from typing import TYPE_CHECKING, NamedTuple

from linesim.record.capacity import WRAPPERS, StationRate, line_rates, several, station_rates
from linesim.record.states import station_words, with_article
from linesim.scenario import Scenario
from linesim.statistics import counted

if TYPE_CHECKING:
    from rich.table import Table

WIDTH = 100
"""Letters on a line of a mail."""


class Terminal(NamedTuple):
    """Where a text is read."""

    width: int = WIDTH
    """letters on a line"""
    wide: bool = False
    """whether tables stand in full, one row a line, however long the lines are"""
    instead: str = ""
    """what shows the columns that find no room; unless it is said they go on below"""


MAIL = Terminal()
LONGEST_LINE = 100_000

CAUTIONS = (
    "Handling and lifting reels, work near moving webs and in-running nips, changing knives,"
    " clearing jams, re-threading, lockout and manning are governed by local codes and by licensed"
    " practice; nothing here replaces them.",
)
CAUTION_IN_SHORT = (
    "Local codes and licensed practice, not this report, govern work on reels, webs, nips, knives"
    " and jams, lifting and lockout."
)
LIMITS = (
    "All webs move as one, with one speed from stands to pockets; slack and tension exist only as"
    " stop causes. Reels differ in diameter and joints, and are good or bad.",
    "Web breaks have no memory: a web breaks as often as the reel on its stand does. Rejects are"
    " whole cuts.",
    "A set of reams travels the whole bridge; reams are not followed place by place.",
    "People who may do a job do it equally well; walking takes time only where a walking speed is"
    " given. A job that waits for more people is not overtaken, unless the shift has too few for"
    " it.",
    "Stops are independent of each other: a tired crew, a damp week or a bad batch of paper that"
    " raises everything at once is not in it.",
    "Orders run in the sequence given. Money is only as good as the prices in the scenario; tax and"
    " inflation are left out.",
)
"""What the model of the line leaves out, as a reader of a report must know it."""
INVENTED = "The data of this scenario are invented: no such line exists."


def plain_hours(hours: float) -> str:
    """Hours as people say them: "8", not "8.00".

    >>> plain_hours(8.0), plain_hours(168.5), plain_hours(7 + 35 / 60)
    ('8', '168.5', '7.583')
    """
    return f"{round(hours, 3):,.10g}"


def text_of(parts: Iterable[Table | str], terminal: Terminal = MAIL) -> str:
    """Tables and paragraphs below one another, and no text taken for mark-up."""
    # The window takes only words from here and would wait for tables it never prints.
    from rich.console import Console

    paper = StringIO()
    # A table is laid out already, long lines and all.
    console = Console(file=paper, width=LONGEST_LINE, highlight=False, markup=False, emoji=False)
    for part in parts:
        console.print(part, width=terminal.width if isinstance(part, str) else None)
    # A console fills lines up with blanks, which only widen a copy.
    return "".join(f"{line.rstrip()}\n" for line in paper.getvalue().splitlines())


def heading(text: str) -> str:
    """A heading of what stands below it."""
    return f"\n{text}\n{'-' * min(len(text), WIDTH)}"


def station_name(scenario: Scenario, station: str) -> str:
    """The name of a station for people: a single wrapper goes by its own name."""
    wrappers = scenario.wrapper
    here = scenario.end_places.get(station, (station,))
    if station in scenario.end_places or station in scenario.end_of_line:
        return station_words(here[0]) if len(here) == 1 else station_words(station) + "s"
    return wrappers[0].name if station == WRAPPERS and len(wrappers) == 1 else station


def the_station(scenario: Scenario, station: str) -> str:
    """The station in a sentence: "the sheeter", but "wrapper A"."""
    return with_article(station_name(scenario, station))


def brought_words(scenario: Scenario) -> list[str]:
    """Who brings the reels, where that is said."""
    truck = scenario.reel_truck
    if truck is None:
        return []
    by = "a reel truck" if truck.trucks == 1 else f"{truck.trucks} reel trucks"
    to = "" if truck.places is None else f", to {counted(truck.places, 'place')} beside the line"
    return [f"reels brought by {by}{to}"]


def bridge_levels(scenario: Scenario) -> list[tuple[int, str]]:
    """The levels of the bridge at which something happens, in reams, rising, and what it is."""
    bridge = scenario.bridge
    named = (
        ("restart at", bridge.restart_at_reams),
        ("slow from", bridge.slow_at_reams),
        ("stop at", bridge.stop_at_reams),
        ("catch up from", bridge.catch_up_at_reams),
    )
    return sorted((reams, f"{what} {reams}") for what, reams in named if reams is not None)


def capital(words: str) -> str:
    """The words with a capital at their start."""
    return words[:1].upper() + words[1:]


def listed(words: Iterable[str]) -> str:
    """Words one after another.

    >>> listed(["a"]), listed("ab"), listed("abc")
    ('a', 'a and b', 'a, b and c')
    """
    *before, last = words
    return f"{', '.join(before)} and {last}" if before else last


def embedded_fonts() -> tuple[bytes, bytes]:
    """DejaVu Sans as TrueType, regular and bold, for a print and for a screen that has none."""
    folder = files("linesim.report") / "page" / "fonts"
    regular, bold = (folder / name for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf"))
    return regular.read_bytes(), bold.read_bytes()


def counting_notice(scenario: Scenario) -> str | None:
    """A warning where the webs do not divide the ream."""
    ordered, webs = scenario.product.sheets_per_ream, scenario.unwind.webs
    extra = -(-ordered // webs) * webs - ordered
    if not extra:
        return None
    return (
        f"{webs} webs do not divide a ream of {ordered} sheets: every ream carries {extra} more,"
        f" {100 * extra / (ordered + extra):.1f} % of the paper given away."
    )


def shown_rates(scenario: Scenario) -> tuple[StationRate, ...]:
    """The rates of all stations; where there are several of a kind, of all together as well."""
    shown = list(station_rates(scenario))
    for place, names in several(scenario).items():
        together = next(rate for rate in line_rates(scenario) if rate.station == place)
        last = max(n for n, r in enumerate(shown) if r.station == names[-1])
        shown.insert(last + 1, together)
    return tuple(shown)


def unit_words(unit: str) -> str:
    """A unit as people write it: files keep to letters that every keyboard has.

    >>> unit_words("1/100 reels"), unit_words("g/m2"), unit_words("um")
    ('per 100 reels', 'g/m²', 'µm')
    """
    unit = "µm" if unit == "um" else unit.replace("m2", "m²")
    return f"per {unit[2:]}" if unit.startswith("1/") else unit


def notes_of(scenario: Scenario) -> Iterator[str]:
    """What to bear in mind of every figure of this scenario."""
    notice = counting_notice(scenario)
    if notice:
        yield f"Note: {notice}"
    if scenario.line.invented:
        yield f"Note: {INVENTED}"
