"""Stop logs and production counts as no plant should hand them over: CSV files and workbooks."""

from __future__ import annotations

import csv
import datetime as dt
import io
import random
import re
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from openpyxl import Workbook

from tests.trust.broken_bytes import BIG, noise, odd_place, spoilt

_PLANT = Path(__file__).parents[2] / "scenarios" / "plant"
_SHEET = "xl/worksheets/sheet1.xml"
_HEAD = b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
_STRINGS = b'<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">'
_CELLS = (
    *(
        "",
        " ",
        "-",
        "0",
        "-1",
        "1e999",
        "nan",
        "inf",
        "9" * 400,
        "9" * 20,
        "1.234.567,8",
        "١٢",
        "²",
    ),
    *("=1+1", "@x", "#N/A", "1/0", "24:00", "99:99", "-1:00", "00:00:60", "6 h 999999999999 min"),
    *("01.01.0001 00:00", "31.12.9999 23:59", "00.00.0000", "29.02.2025", "2026-03-02T06:00+99:99"),
    *("31.12.9999 23:59Z", "01.01.0001 00:00+14:00", "2026-03-02 06:00 pm", "13:00 pm", "0000-0-0"),
    *("45000", "79999.9", "20001", "1e5", "x" * 40_000, '"', "a\nb", "a\x00b", "\x1b[2J", "[red]"),
    *(
        "<script>",
        "\u202e",
        "\ud7ff",
        "e\u0301" * 50,
        "wrapper jam",
        "1" + " 000" * 300,
        "+5",
        "6,5",
    ),
    *("1" + "h" * 3000, "1 h " * 5000, "9" * 5000 + " min", "1:" * 2000, "-" * 9000, ", " * 3000),
)
_THINGS: tuple[Any, ...] = (
    *(None, True, 0, -1, 1e300, 10**15, 0.5, 45000.25, 2_958_465.99, -0.0),
    *(dt.datetime(1900, 1, 1), dt.datetime(9999, 12, 31, 23, 59, 59), dt.date(2026, 3, 2)),
    *(dt.time(23, 59, 59), dt.timedelta(days=-5), dt.timedelta(days=99_999), "=A1", "#REF!"),
)


def broken_log(chance: random.Random, folder: Path) -> tuple[str, Path]:
    """One wrong stop log."""
    raw = (_PLANT / "stop-log.csv").read_bytes().decode("cp1252")
    rows = list(csv.reader(io.StringIO(raw), delimiter=";"))
    return _broken(chance, folder, rows[2:])


def broken_production(chance: random.Random, folder: Path) -> tuple[str, Path]:
    """One wrong file of production counts."""
    raw = (_PLANT / "production.csv").read_text(encoding="utf-8")
    return _broken(chance, folder, list(csv.reader(io.StringIO(raw))))


def _broken(chance: random.Random, folder: Path, rows: list[list[str]]) -> tuple[str, Path]:
    begin = chance.randrange(1, len(rows))
    rows = rows[:1] + rows[begin : begin + chance.choice((0, 1, 3, 12, 40))]
    path = folder / chance.choice(("file.csv", "file.xlsx", "file.txt"))
    roll = chance.random()
    if roll < 0.02:
        return odd_place(chance, folder, path.name)
    if roll < 0.023:
        what, raw = chance.choice(_LARGE)(chance)
    elif roll < 0.10:
        what, raw = "noise", noise(chance)
    elif roll < 0.60:
        what, raw = "cells", _as_csv(chance, _spoilt_rows(chance, rows, _CELLS))
        if chance.random() < 0.4:
            what, raw = "bytes", spoilt(chance, raw)
    elif roll < 0.80:
        what, raw = "workbook cells", _as_xlsx(_spoilt_rows(chance, rows, (*_CELLS[:40], *_THINGS)))
    else:
        what, raw = _damaged_workbook(chance, _as_xlsx(rows))
    path.write_bytes(raw)
    return what, path


def _spoilt_rows(chance: random.Random, rows: list[list[Any]], cells: tuple[Any, ...]) -> list[Any]:
    rows = [list(row) for row in rows]
    for _ in range(chance.choice((1, 2, 5, 20))):
        n = chance.randrange(len(rows)) if chance.random() < 0.8 else 0
        row, what = rows[n], chance.randrange(8)
        if what < 5 and row:
            row[chance.randrange(len(row))] = chance.choice(cells)
        elif what == 5:
            rows.insert(n, list(row) * chance.choice((0, 1, 2)))
        elif what == 6:
            del row[chance.randrange(len(row) + 1) :]
        else:
            row.extend([chance.choice(cells)] * chance.choice((1, 3, 300)))
    return rows


def _as_csv(chance: random.Random, rows: list[Any]) -> bytes:
    out = io.StringIO(newline="")
    writer = csv.writer(
        out,
        delimiter=chance.choice(";,\t|"),
        lineterminator=chance.choice(("\n", "\r\n", "\r")),
        quoting=chance.choice((csv.QUOTE_MINIMAL, csv.QUOTE_ALL)),
    )
    writer.writerows(rows)
    code = chance.choice(("utf-8", "utf-8-sig", "cp1252", "utf-16", "utf-16-le", "utf-32", "cp037"))
    return out.getvalue().encode(code, "replace")


def _as_xlsx(rows: list[Any]) -> bytes:
    book = Workbook()
    for row in rows:
        book.active.append([_allowed(cell) for cell in row])
    out = io.BytesIO()
    book.save(out)
    return _with_shared_texts(out.getvalue())


_TEXT = re.compile(r't="inlineStr"><is><t[^>]*>([^<]*)</t></is>')


def _with_shared_texts(raw: bytes) -> bytes:
    """As office programs write it: texts in a part of their own, cells with their numbers."""
    parts = _parts(raw)
    texts: list[str] = []

    def number(match: re.Match[str]) -> str:
        texts.append(match[1])
        return f't="s"><v>{len(texts) - 1}</v>'

    parts[_SHEET] = _TEXT.sub(number, parts[_SHEET].decode()).encode()
    held = "".join(f"<si><t>{text}</t></si>" for text in texts)
    parts["xl/sharedStrings.xml"] = _STRINGS + held.encode() + b"</sst>"
    kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sharedStrings+xml"
    entry = f'<Override PartName="/xl/sharedStrings.xml" ContentType="{kind}"/></Types>'
    types = parts["[Content_Types].xml"].decode().replace("</Types>", entry)
    return _zipped(parts | {"[Content_Types].xml": types.encode()})


def _allowed(cell: Any) -> Any:
    if not isinstance(cell, str):
        return cell
    return "".join(sign for sign in cell[:30_000] if sign in "\n\t" or sign >= " ")


def _damaged_workbook(chance: random.Random, raw: bytes) -> tuple[str, bytes]:
    roll = chance.random()
    if roll < 0.3:
        return "workbook bytes", spoilt(chance, raw)
    parts = _parts(raw)
    if roll < 0.6:
        name = chance.choice(list(parts))
        parts[name] = spoilt(chance, parts[name])
        return "workbook part", _zipped(parts)
    if roll < 0.7:
        del parts[chance.choice(list(parts))]
        return "workbook part missing", _zipped(parts)
    name, old, new = chance.choice(_PART_CHANGES)
    parts[name] = parts[name].replace(old.encode(), new.encode())
    return f"workbook with {new[:24]}", _zipped(parts)


_ENTITIES = (
    '<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa">'
    + "".join(f'<!ENTITY {chr(98 + n)} "{f"&{chr(97 + n)};" * 10}">' for n in range(9))
    + "]><worksheet"
)
_PART_CHANGES = (
    (_SHEET, '<row r="2"', '<row r="1048576"'),
    (_SHEET, '<row r="2"', '<row r="99999999999"'),
    (_SHEET, '<row r="2"', '<row r="-1"'),
    (_SHEET, '<row r="2"', '<row r="x"'),
    (_SHEET, '<c r="B1"', '<c r="XFD1"'),
    (_SHEET, '<c r="B1"', '<c r="ZZZZZZ1"'),
    (_SHEET, '<c r="B1"', '<c r="B99999999"'),
    (_SHEET, '<dimension ref="A1', '<dimension ref="A1:XFD1048576" x="'),
    (_SHEET, "<v>", "<v>9999999"),
    (_SHEET, "<v>", "<v>-1"),
    (_SHEET, "<v>", "<v>nan"),
    (_SHEET, "<v>", "<v><v>"),
    (_SHEET, "<worksheet", _ENTITIES),
    (_SHEET, "<sheetData>", "<sheetData>" + "<row>" * 5000),
    (_SHEET, 't="s"', 't="d"'),
    (_SHEET, 't="s"', 't="e"'),
    (_SHEET, 't="s"', 't="?"'),
    (_SHEET, 't="s"', 's="999999"'),
    ("xl/workbook.xml", "sheetId", "x"),
    ("xl/workbook.xml", 'name="Sheet"', 'name="../../x"'),
    ("xl/workbook.xml", "<workbookPr", '<workbookPr date1904="1"'),
    ("xl/_rels/workbook.xml.rels", "worksheets/sheet1.xml", "../../../../etc/passwd"),
    ("xl/_rels/workbook.xml.rels", "worksheets/sheet1.xml", "workbook.xml"),
    ("xl/styles.xml", "<cellXfs", "<cellYfs"),
    ("xl/styles.xml", 'numFmtId="0"', 'numFmtId="x"'),
    ("[Content_Types].xml", "worksheet+xml", "chartsheet+xml"),
)


def _parts(raw: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(raw)) as book:
        return {name: book.read(name) for name in book.namelist()}


def _zipped(parts: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as book:
        for name, part in parts.items():
            book.writestr(name, part)
    return out.getvalue()


def _bomb(name: str, before: bytes, part: bytes, mb: int) -> bytes:
    """A workbook of some kB of which one part unpacks to *mb* MB."""
    parts = _parts(_as_xlsx([["Beginn", "Ende", "Ursache"], ["02.03.2026 06:00", "06:05", "x"]]))
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as book:
        for each, held in parts.items():
            if each != name:
                book.writestr(each, held)
        with book.open(name, "w", force_zip64=True) as target:
            target.write(before)
            block = part * (1_000_000 // len(part))
            for _ in range(mb):
                target.write(block)
    return out.getvalue()


_LARGE: tuple[Callable[[random.Random], tuple[str, bytes]], ...] = (
    lambda _: ("bomb: blanks", _bomb(_SHEET, b"", b" ", 400)),
    lambda _: ("bomb: rows", _bomb(_SHEET, _HEAD, b"<row/>", 200)),
    lambda _: ("bomb: cells", _bomb(_SHEET, _HEAD + b"<row>", b"<c><v>1</v></c>", 200)),
    lambda _: ("bomb: one text", _bomb(_SHEET, _HEAD + b'<row><c t="str"><v>', b"x", 400)),
    lambda _: ("bomb: texts", _bomb("xl/sharedStrings.xml", _STRINGS, b"<si><t>x</t></si>", 200)),
    lambda _: ("bomb: styles", _bomb("xl/styles.xml", b"<styleSheet>", b"<xf/>", 100)),
    lambda _: ("many styles", _bomb("xl/styles.xml", b"<styleSheet><cellXfs>", b"<xf/>", 1)),
    lambda _: ("many texts", _bomb("xl/sharedStrings.xml", _STRINGS, b"<si><t>x</t></si>", 7)),
    lambda _: ("many rows", _bomb(_SHEET, _HEAD, b"<row><c><v>1</v></c></row>", 2)),
    lambda _: ("wide row", _bomb(_SHEET, _HEAD + b"<row>", b"<c/>", 3)),
    lambda _: ("large: 50 MB over", b"a;b\n" * (BIG // 4 + 1)),
    lambda _: ("large: rows", b"Beginn;Ende;Ursache\n" + b"02.03.2026 06:00;06:05;x\n" * 59_000),
    lambda _: ("large: more rows", b"Beginn;Ende;Ursache\n" + b"1;2;x\n" * 5_000_000),
    lambda _: ("large: columns", b";" * (BIG - 10)),
    lambda _: ("large: wide rows", (b";" * 2000 + b"\n") * 20_000),
    lambda _: ("large: quoted", b'"' + b"x;\n" * (BIG // 3 - 10)),
    lambda _: ("large: quotes", b'"' * (BIG - 10)),
    lambda _: ("large: UTF-16", "a;b\n".encode("utf-16") * (BIG // 12)),
    lambda _: ("large: one cell", b"x" * (BIG - 10)),
)
