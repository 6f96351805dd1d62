"""Kinds of dirty log, a row each: what of it is used, what is left out, what is amended, and why.

Every log holds the same good stop, 10 minutes at the wrapper from 08:00 on, however it is written.
"""

from __future__ import annotations

import datetime as dt
import io
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from linesim.plant.log_fits import fit_log
from tests.plant.logs import read_stop_log

EIGHT = dt.datetime(2026, 3, 13, 8)
ISO = "start,end,station,cause\n2026-03-13 08:00,2026-03-13 08:10,wrapper,jam\n"


@dataclass(frozen=True)
class Dirty:
    """A log, the lengths of its stops in min, and by line why rows are left out or amended."""

    data: bytes
    minutes: list[float]
    left_out: dict[int, str] = field(default_factory=dict)
    amended: dict[int, str] = field(default_factory=dict)
    read_as: str = "UTF-8, commas between columns"


def text(rows: str, encoding: str = "utf-8") -> bytes:
    return rows.encode(encoding)


def workbook() -> bytes:
    from openpyxl import Workbook

    book = Workbook()
    book.active.title = "empty"
    sheet = book.create_sheet("July")
    sheet.append(["Stops of the line"])
    sheet.append(["Date", "From", "To", "Machine", "Reason"])
    sheet.append([EIGHT.date(), dt.time(8), dt.time(8, 10), "wrapper", "jam"])
    sheet.append([EIGHT.date(), dt.time(23, 55), dt.time(0, 5), "wrapper", "jam"])
    sheet.append([EIGHT.date(), "late", dt.time(0, 5), "wrapper", "jam"])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


KINDS = {
    "semicolons, decimal comma, old encoding, a title above and a sum below": Dirty(
        text(
            "Störungen Linie 1;;;;\n\nDatum;Beginn;Dauer [min];Ort der Maschine;Störung\n"
            "13.03.2026;08:00;10,0;Wrapper;Papier fällt\n;;10,0;;\n",
            "latin-1",
        ),
        [10],
        {5: "no start"},
        read_as="Windows-1252, semicolons between columns",
    ),
    "a time that stands alone, and one within another heading": Dirty(
        text("Datum;Ende Zeit;Zeit;Störgrund\n13.03.2026;08:10;08:00;Papierstau\n"),
        [10],
        read_as="UTF-8, semicolons between columns",
    ),
    "German compounds, years of two digits, machines in the plant's words": Dirty(
        text(
            "Datum;Uhrzeit Beginn;Stillstandsdauer (Min.);Maschine;Störgrund\n"
            "13.03.26;08:00;10,0;Verpackungsmaschine;Papierstau\n"
            "14.03.26;23:58;5,5;Querschneider;Messer\n",
            "cp1252",
        ),
        [10, 5.5],
        read_as="Windows-1252, semicolons between columns",
    ),
    "American, by half-days, no day above 12 but one, entered twice": Dirty(
        text(
            "Date,Start,End,Machine,Stop reason\n3/13/26,8:00 AM,8:10 AM,Wrapper 1,Jam\n"
            "3/9/26,11:55 PM,12:05 AM,Sheeter,Knife\n3/13/26,8:00 AM,8:10 AM,wrapper 1,JAM\n"
            "3/12/26,12:10 AM,12:10 AM,Wrapper 1,Jam\n3/15/26,12:00 PM,12:07 PM,Sheeter,Knife\n"
        ),
        [10, 0, 10, 7],
        {4: "the same stop as line 2"},
    ),
    "UTF-16 with tabs": Dirty(
        text("start\tmin\tstation\tcause\n13/03/2026 08:00\t10\tWicklerbrücke\tjam\n", "utf-16"),
        [10],
        read_as="UTF-16, tabs between columns",
    ),
    "UTF-16 without its mark": Dirty(
        text("start;min;station;cause\n2026-03-13 08:00;10;wrapper;jam\n", "utf-16-le"),
        [10],
        read_as="UTF-16, semicolons between columns",
    ),
    "workbook with an empty sheet and a title, across midnight": Dirty(
        workbook(),
        [10, 10],
        {5: "start cannot be read: 'late'"},
        read_as="workbook, sheet 'July'",
    ),
    "entered twice, stop within a stop, overlap": Dirty(
        text(
            ISO + "2026-03-13 08:00,2026-03-13 08:10,Wrapper,JAM\n"
            "2026-03-13 08:02,2026-03-13 08:05,wrapper,label\n"
            "2026-03-13 08:08,2026-03-13 08:20,wrapper,label\n"
        ),
        [10, 10],
        {
            3: "the same stop as line 2",
            4: "within the stop of line 2 at the same station",
        },
        {5: "2 min cut off its start, where line 2 still stood"},
    ),
    "clocks put forward, a day ends, a length beside them": Dirty(
        text(
            "start,end,min,station,cause\n2026-03-13 08:00,2026-03-13 08:10,10,wrapper,jam\n"
            "2026-03-28 23:58,00:04,6,wrapper,jam\n"
            "2026-03-29 01:55,2026-03-29 03:05,10,wrapper,jam\n"
        ),
        [10, 6, 10],
        amended={
            4: "start and end are an hour off its length (clock changed?): length taken",
        },
    ),
    "rows that cannot be right": Dirty(
        text(
            ISO + "2026-03-13 25:10,2026-03-13 08:10,wrapper,jam\n"
            "2026-03-13 09:00,2026-03-13 08:30,wrapper,jam\n"
            "2026-03-13 10:00,,wrapper,jam\n"
            "2026-03-13 11:00,2026-03-15 11:00,wrapper,jam\n"
            "2026-03-13 12:00,2026-03-13 12:05,wrapper,?\n"
        ),
        [10],
        {
            3: "start cannot be read: '2026-03-13 25:10'",
            4: "end before start",
            5: "neither end nor length",
            6: "longer than 12 h",
            7: "no cause",
        },
    ),
}


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_has_its_clear_outcome(kind: str, tmp_path: Path) -> None:
    dirty = KINDS[kind]
    path = tmp_path / ("log.xlsx" if dirty.data.startswith(b"PK") else "log.csv")
    path.write_bytes(dirty.data)
    log = read_stop_log(path)
    assert [stop.minutes for stop in log.stops] == pytest.approx(dirty.minutes)
    assert EIGHT in [stop.start for stop in log.stops]
    assert {each.line: each.reason for each in log.left_out} == dirty.left_out
    assert {each.line: each.reason for each in log.amended} == dirty.amended
    assert log.read_as == dirty.read_as
    # Counts in = counts used + counts left out, in the log and after matching and fitting.
    found = fit_log(log)
    assert sum(fit.count for fit in found.fits) + len(found.log.left_out) == log.rows
