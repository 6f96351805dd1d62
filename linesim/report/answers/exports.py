"""An answer for programs: JSON, a folder of CSV files, a workbook."""

from __future__ import annotations

import io
import json
import math
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from linesim.files import write_bytes, write_text
from linesim.report.answers.answer import Answer
from linesim.report.answers.cells import Bounded, Cell, Column, Figure
from linesim.report.answers.charts import Bars, Chart, Map, Scatter, Tornado
from linesim.report.answers.tables import AnswerTable
from linesim.report.csv_folder import safe, table
from linesim.version import __version__

_NOT_IN_A_SHEET = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f]")
_LONGEST_SHEET_NAME = 31


class NoWorkbookError(RuntimeError):
    """The package that writes workbooks is not installed."""


def answer_json(answer: Answer) -> str:
    """Everything the answer says, as sorted JSON; the same runs give the same bytes."""
    data = {
        "version": __version__,
        "study": answer.study,
        "scenario": answer.scenario,
        "words": list(answer.words),
        "notes": list(answer.notes),
        "facts": answer.facts,
        "tables": {each.name: table_mapping(each) for each in answer.tables},
        "charts": {each.name: _chart_json(each) for each in answer.charts},
    }
    return json.dumps(data, indent=2, sort_keys=True, allow_nan=False, ensure_ascii=False) + "\n"


def write_answer_csv(folder: Path, answer: Answer) -> tuple[Path, ...]:
    """Write words.csv and one file for each table into ``folder``, made if need be."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for name, header, rows in _sheets(answer):
        path = folder / f"{name}.csv"
        write_text(path, table(header, rows))
        written.append(path)
    return tuple(written)


def table_csv(each: AnswerTable, *, separator: str = ",") -> str:
    """A table as CSV; half widths and ends of intervals have columns of their own."""
    return table(each.header, each.flat_rows, separator=separator)


def write_answer_xlsx(path: Path, answer: Answer) -> None:
    """Write a workbook: a sheet of words and one for each table. Text is never a formula.

    Raises :class:`NoWorkbookError` where the optional package openpyxl is missing.
    """
    try:
        from openpyxl import Workbook
    except ImportError:
        raise NoWorkbookError(
            "--xlsx needs the package openpyxl: pip install 'linesim[xlsx]'"
        ) from None
    book: Any = Workbook()
    book.remove(book.active)
    for name, header, rows in _sheets(answer):
        sheet = book.create_sheet(name[:_LONGEST_SHEET_NAME])
        for row in [header, *rows]:
            sheet.append([_for_a_sheet(cell) for cell in row])
    out = io.BytesIO()
    book.save(out)
    write_bytes(path, out.getvalue())


def _for_a_sheet(cell: Any) -> Any:
    return safe(_NOT_IN_A_SHEET.sub(" ", cell)) if isinstance(cell, str) else cell


def _sheets(answer: Answer) -> Iterator[tuple[str, list[str], list[list[Any]]]]:
    lines: list[list[Any]] = [["answer", text] for text in answer.words]
    lines += [["note", text] for text in answer.notes]
    lines += [[name, "" if value is None else value] for name, value in answer.facts.items()]
    yield "words", ["what", "text"], lines
    for each in answer.tables:
        yield each.name, each.header, each.flat_rows


def table_mapping(each: AnswerTable) -> dict[str, Any]:
    """The mapping that becomes JSON: title, columns with units, and rows by column."""
    return {
        "title": each.title,
        "columns": [_column_json(column) for column in each.columns],
        "rows": [
            {column.name: _cell_json(cell) for column, cell in zip(each.columns, row, strict=True)}
            for row in each.rows
        ],
    }


def _column_json(column: Column) -> dict[str, Any]:
    return {"name": column.name, "unit": column.unit}


def _chart_json(each: Chart) -> dict[str, Any]:
    about = {"title": each.title, "y": _column_json(each.y)}
    if isinstance(each, Bars):
        bars = [
            {"label": bar.label, "figure": _cell_json(bar.figure), "theory": _cell_json(bar.theory)}
            for bar in each.bars
        ]
        more = {"bands": each.bands, "theory_name": each.theory_name, "bars": bars}
        if each.starts is not None:
            more["starts"] = each.starts.isoformat()
        return about | {"kind": "bars"} | more
    if isinstance(each, Map):
        return about | {
            "kind": "map",
            "down": _column_json(each.down) | {"values": each.down_values},
            "across": _column_json(each.across) | {"values": each.across_values},
            "rows": [[_cell_json(cell) for cell in row] for row in each.rows],
            "present": each.present,
        }
    if isinstance(each, Tornado):
        return about | {
            "kind": "tornado",
            "now": each.now,
            "bars": [b._asdict() for b in each.bars],
        }
    if isinstance(each, Scatter):
        drawn = {kind: {"name": words, "places": getattr(each, kind)} for kind, words in each.key}
        return about | {
            "kind": "scatter",
            "said": each.caption,
            "x": _column_json(each.x),
            "x_ticks": each.x_ticks,
            "y_ticks": each.y_ticks,
            "drawn": drawn,
        }
    return about | {
        "kind": "curve",
        "x": _column_json(each.x),
        "theory_name": each.theory_name,
        "present": each.present,
        "gain_on": each.gain or None,
        "best": each.best,
        each.pays_name.replace(" ", "_"): each.pays,
        "points": [
            {"x": p.x, "figure": _cell_json(p.figure), "theory": _cell_json(p.theory)}
            for p in each.points
        ],
    }


def _cell_json(cell: Cell) -> Any:
    if isinstance(cell, Figure):
        doubt = {"not_known": cell.doubt} if cell.doubt else {}
        return {"mean": cell.mean, "half_width": cell.half_width, "shown": cell.shown} | doubt
    if isinstance(cell, Bounded):
        return cell._asdict()
    if isinstance(cell, float) and not math.isfinite(cell):
        return None
    return cell
