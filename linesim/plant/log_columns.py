"""Which column of a stop log holds what: proposed by its heading, or told by hand."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from linesim.plant.moments import DurationUnit
from linesim.plant.raw_table import RawTable, written
from linesim.scenario.faults import Fault, ScenarioFaults

_WORDS: dict[str, tuple[str, ...]] = {
    "start": (
        *("start", "started", "begin", "began", "from", "stopped at", "stop time"),
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
    ),
    "cause": (
        *("cause", "reason", "fault", "ursache", "grund", "stoergrund", "storung"),
        *("stoerung", "raison", "motif", "causa", "motivo", "oorzaak", "reden", "what"),
    ),
    "date": ("date", "day", "datum", "tag", "jour", "fecha", "data"),
}
FIELDS = tuple(_WORDS)
_HEADING_WITHIN = 30
_SECONDS = {"s", "sec", "secs", "sek", "seconds", "sekunden", "secondes", "segundos"}
_HOURS = {"h", "hr", "hrs", "std", "hours", "stunden", "heures", "horas", "ore"}


@dataclass(frozen=True)
class LogColumns:
    """Where each field stands (from 0), under which heading, and in which row the headings are."""

    heading_row: int
    """Position among the table's rows, from 0."""
    place: dict[str, int]
    heading: dict[str, str]
    unit: DurationUnit
    """Of a bare number in the column ``minutes``."""


def plain(text: str) -> str:
    """Small letters without accents, everything else than letters and digits a blank.

    >>> plain("Störung [min]"), plain("wrapper-Jam")
    ('storung min', 'wrapper jam')
    """
    text = unicodedata.normalize("NFKD", text.casefold().replace("ß", "ss"))
    text = "".join(sign for sign in text if not unicodedata.combining(sign))
    return " ".join(re.sub(r"[^\w]|_", " ", text).split())


def find_columns(table: RawTable, told: Mapping[str, str] | None = None) -> LogColumns:
    """Propose columns by their headings; *told* maps fields to headings and goes before.

    Raises :class:`ScenarioFaults` with every fault: a field or heading that does not exist, no
    start, no cause, or neither end nor minutes.
    """
    told = dict(told or {})
    best, found = 0, dict[str, int]()
    for at, row in enumerate(table.rows[:_HEADING_WITHIN]):
        names = [plain(written(cell)) for cell in row.cells]
        by_hand = {f: names.index(plain(h)) for f, h in told.items() if plain(h) in names}
        here = _proposed(names, by_hand)
        if (len(by_hand), len(here)) > (sum(f in told for f in found), len(found)):
            best, found = at, here
    if not table.rows:
        raise ScenarioFaults([Fault(table.file, None, "", "", "holds no rows", "a row a stop")])
    headings = [written(cell) for cell in table.rows[best].cells]
    faults = _faults(table, best, headings, found, told)
    if faults:
        raise ScenarioFaults(faults)
    words = set(plain(headings[found["minutes"]]).split()) if "minutes" in found else set()
    unit: DurationUnit = "s" if words & _SECONDS else "h" if words & _HOURS else "min"
    return LogColumns(best, found, {f: headings[n] for f, n in found.items()}, unit)


def _proposed(names: Sequence[str], by_hand: Mapping[str, int]) -> dict[str, int]:
    found = dict(by_hand)
    for whole in (True, False):
        for field, words in _WORDS.items():
            for word in words:
                if field in found:
                    break
                for n, name in enumerate(names):
                    fits = name == word if whole else f" {word} " in f" {name} "
                    if fits and n not in found.values():
                        found[field] = n
                        break
    return found


def _faults(
    table: RawTable,
    at: int,
    headings: Sequence[str],
    found: Mapping[str, int],
    told: Mapping[str, str],
) -> list[Fault]:
    line = table.rows[at].line
    there = ", ".join(repr(name) for name in headings if name) or "no headings at all"
    faults = []
    for field, heading in told.items():
        if field not in FIELDS:
            right = "one of " + ", ".join(FIELDS)
            faults.append(Fault(table.file, None, "column", field, "is no column to tell", right))
        elif plain(heading) not in [plain(name) for name in headings]:
            problem = f"there is no column {heading!r}"
            faults.append(Fault(table.file, line, field, "", problem, f"one of {there}"))
    missing = [field for field in ("start", "cause") if field not in found]
    missing += ["end (or minutes)"] if not {"end", "minutes"} & set(found) else []
    for field in missing:
        if field.split()[0] in told:
            continue
        name = field.split()[0]
        right = f"tell it, such as {name}=HEADING, with a heading out of {there}"
        faults.append(Fault(table.file, line, name, "", f"no column is known as {field}", right))
    return faults
