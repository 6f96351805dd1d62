"""Which column of a stop log holds what: proposed by its heading, or told by hand."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass

from linesim.plant.moments import SERIALS, DurationUnit, number
from linesim.plant.raw_table import RawTable, refused, written
from linesim.scenario.faults import Fault, ScenarioFaults

_WORDS: dict[str, tuple[str, ...]] = {
    "start": (
        *("start", "started", "begin", "began", "from", "stopped at", "stop time"),
        *("time of day", "uhrzeit"),
        *("beginn", "anfang", "von", "debut", "inicio", "desde", "inizio", "aanvang"),
    ),
    "end": (
        *("end", "ended", "to", "until", "restart", "running again", "ende", "bis"),
        *("fin", "hasta", "fine", "einde", "tot"),
    ),
    "minutes": (
        *("minutes", "duration", "length", "downtime", "min", "seconds", "hours", "dauer"),
        *("minuten", "stillstand", "standzeit", "duree", "duracion", "durata", "duur"),
    ),
    "station": (
        *("station", "machine", "unit", "equipment", "where", "maschine", "aggregat"),
        *("anlage", "poste", "maquina", "equipo", "macchina", "plaats"),
        *("asset", "location", "area", "module", "ort", "bereich", "baugruppe", "komponente"),
    ),
    "cause": (
        *("cause", "reason", "fault", "ursache", "grund", "stoergrund", "storung"),
        *("stoerung", "raison", "motif", "causa", "motivo", "oorzaak", "reden", "what"),
    ),
    "date": ("date", "day", "datum", "tag", "jour", "fecha", "data"),
    "counter": (
        *("counter", "running hours", "run hours", "hours run", "machine hours", "hour meter"),
        *("operating hours", "machine h", "elapsed", "since start", "betriebsstunden"),
        *("maschinenstunden", "stundenzahler", "zahler", "zaehler", "compteur", "horometre"),
        *("contador", "horometro", "contaore", "contatore", "draaiuren", "urenteller"),
    ),
}
_ALONE = {"start": ("time", "zeit", "zeitpunkt", "heure", "hora", "ora", "tijd")}
"""Headings that say a field where they stand alone: within others they may say any time."""
LOG_FIELDS = tuple(_WORDS)
HEADING_WITHIN = 30
_LOOKED_AT = 50
_LONG_END = 5
_SECONDS = {"s", "sec", "secs", "sek", "seconds", "sekunden", "secondes", "segundos"}
_MINUTES = {"min", "mins", "minutes", "minuten", "minutos", "minuti", "minuut"}
_HOURS = {"h", "hr", "hrs", "std", "hour", "hours", "stunden", "heures", "horas", "ore"}
_HOURS_WITHIN = ("betriebsstunden", "maschinenstunden", "stundenz", "horom", "contaore", "uren")


@dataclass(frozen=True)
class LogColumns:
    """Where each field stands (from 0), under which heading, and in which row the headings are."""

    heading_row: int
    """Position among the table's rows, from 0."""
    place: dict[str, int]
    heading: dict[str, str]
    unit: DurationUnit
    """Of a bare number in the column ``minutes``."""
    counter_unit: DurationUnit | None = None
    """What a running counter counts; None where its heading does not say."""


def plain(text: str) -> str:
    """Small letters without accents, everything else than letters and digits a blank.

    >>> plain("Störung [min]"), plain("wrapper-Jam")
    ('storung min', 'wrapper jam')
    """
    text = unicodedata.normalize("NFKD", text.casefold().replace("ß", "ss"))
    text = "".join(sign for sign in text if not unicodedata.combining(sign))
    return " ".join(re.sub(r"[^\w]|_", " ", text).split())


def find_columns(table: RawTable, terms: Mapping[str, str] | None = None) -> LogColumns:
    """Propose columns by their headings; *terms* maps fields to headings and goes before.

    An empty heading says that the log has no such column.

    A running counter is looked for only where there is no start by the clock. Raises
    :class:`ScenarioFaults` with every fault: a field or heading that does not exist, no start (or
    counter), no cause, or neither end nor minutes.
    """
    terms = dict(terms or {})
    best, found = heading_row_of(table, terms)
    if not table.rows:
        raise refused(table.file, "holds no rows", "a row a stop")
    headings = [written(cell) for cell in table.rows[best].cells]
    faults = _faults(table, best, headings, found, terms)
    if faults:
        raise ScenarioFaults(faults)
    unit = _unit(headings[found["minutes"]]) if "minutes" in found else None
    counts = _unit(headings[found["counter"]]) if "counter" in found else None
    heading = {f: headings[n] for f, n in found.items()}
    return LogColumns(best, found, heading, unit or "min", counts)


def heading_row_of(
    table: RawTable, terms: Mapping[str, str] | None = None
) -> tuple[int, dict[str, int]]:
    """Which row holds the headings (position from 0), and the fields found among them."""
    terms = terms or {}
    barred = {field for field, heading in terms.items() if not heading}
    best, found = 0, dict[str, int]()
    for at, row in enumerate(table.rows[:HEADING_WITHIN]):
        names = [plain(written(cell)) for cell in row.cells]
        by_hand = {
            f: names.index(plain(h))
            for f, h in terms.items()
            if f in _WORDS and h and plain(h) in names
        }
        here = _with_counter(table, at, names, by_hand, barred)
        if (len(by_hand), len(here)) > (sum(f in terms for f in found), len(found)):
            best, found = at, here
    return best, found


def _with_counter(
    table: RawTable,
    at: int,
    names: Sequence[str],
    by_hand: Mapping[str, int],
    barred: Set[str],
) -> dict[str, int]:
    """Start by the clock if there is one, else a counter."""
    clock = [field for field in LOG_FIELDS if field != "counter" and field not in barred]
    if "counter" in by_hand:
        return _proposed(names, by_hand, [field for field in clock if field != "start"])
    found = _proposed(names, by_hand, clock)
    if "start" in by_hand or "counter" in barred:
        return found
    if "start" in found and ("date" in found or not _counts(table, at, found["start"])):
        return found
    counting = dict(by_hand)
    if "start" in found:
        counting["counter"] = found["start"]
    again = _proposed(names, counting, ["counter", *(f for f in clock if f != "start")])
    return again if "counter" in again else found


def _counts(table: RawTable, at: int, place: int) -> bool:
    """Whether a column holds bare numbers that are no dates of a workbook."""
    cells = [row.at(place) for row in table.rows[at + 1 :][:_LOOKED_AT]]
    cells = [cell for cell in cells if written(cell)]
    values = [value for value in map(number, cells) if value is not None]
    bare = [value for value in values if not SERIALS[0] < value < SERIALS[1]]
    return 2 * len(bare) > len(cells)


def _proposed(
    names: Sequence[str], by_hand: Mapping[str, int], fields: Sequence[str]
) -> dict[str, int]:
    found = dict(by_hand)
    # A "machine stop reason" is a reason: within a longer heading the cause goes first.
    within = sorted(fields, key=lambda field: field != "cause")
    for whole in (True, False):
        for field in fields if whole else within:
            for word in (*_WORDS[field], *(_ALONE.get(field, ()) if whole else ())):
                if field in found:
                    break
                for n, name in enumerate(names):
                    fits = name == word if whole else _within(word, name)
                    if fits and n not in found.values():
                        found[field] = n
                        break
    return found


def _within(word: str, name: str) -> bool:
    """Whether a heading holds a word, or a German one that ends in it: "Störgrund"."""
    ends = len(word) >= _LONG_END and any(each.endswith(word) for each in name.split())
    return ends or f" {word} " in f" {name} "


def _unit(heading: str) -> DurationUnit | None:
    words = set(plain(heading).split())
    if words & _SECONDS:
        return "s"
    if words & _MINUTES:
        return "min"
    if words & _HOURS or any(part in plain(heading) for part in _HOURS_WITHIN):
        return "h"
    return None


def _faults(
    table: RawTable,
    at: int,
    headings: Sequence[str],
    found: Mapping[str, int],
    terms: Mapping[str, str],
) -> list[Fault]:
    line = table.rows[at].line
    there = ", ".join(repr(name) for name in headings if name) or "no headings at all"
    faults = []
    for field, heading in terms.items():
        if field not in LOG_FIELDS:
            right = "one of " + ", ".join(LOG_FIELDS)
            faults.append(Fault(table.file, None, "column", field, "is no column to tell", right))
        elif heading and plain(heading) not in [plain(name) for name in headings]:
            problem = f"there is no column {heading!r}"
            faults.append(Fault(table.file, line, field, "", problem, f"one of {there}"))
    if terms.get("start") and terms.get("counter"):
        problem = "both a start by the clock and a running counter are told"
        faults.append(Fault(table.file, line, "counter", "", problem, "one of them"))
    missing = (
        ("start (or counter)", {"start", "counter"}),
        ("cause", {"cause"}),
        ("end (or minutes)", {"end", "minutes"}),
    )
    for words, fields in missing:
        name = words.split()[0]
        if terms.get(name) or fields & set(found):
            continue
        right = (
            f"its heading told, one of {there}: under Columns in the window, or in the command"
            f" by --column {name}=HEADING"
        )
        faults.append(Fault(table.file, line, name, "", f"no column is known as {words}", right))
    return faults
