"""The files in which a plant hands over a table: which there are, and reading one."""

from __future__ import annotations

import os
from pathlib import Path

from linesim.plant.delimited import text_table
from linesim.plant.raw_table import RawTable, refused
from linesim.plant.workbook import refuse_old_workbook, workbook_table
from linesim.scenario.faults import ScenarioFaults

FORMATS = {
    b"PK\x03\x04": workbook_table,
    b"\xd0\xcf\x11\xe0": refuse_old_workbook,
    b"": text_table,
}
"""What makes a table of a file that begins so; the first that fits does."""
TABLE_ENDINGS = (".csv", ".xlsx", ".tsv", ".txt")
"""How the names of such files end."""
_LARGEST_FILE_BYTES = 50_000_000


def read_table(path: str | os.PathLike[str], *, sheet: str | None = None) -> RawTable:
    """Read a table from a file (from a workbook's first sheet with rows, unless *sheet* is given).

    Raises :class:`ScenarioFaults` where there is no such file, or none that holds a table.
    """
    name = os.fspath(path)
    raw = _bytes(name)
    read = next(read for begins, read in FORMATS.items() if raw.startswith(begins))
    return read(name, raw, sheet)


def _bytes(name: str) -> bytes:
    try:
        if not Path(name).is_file():
            there = Path(name).exists()
            raise refused(
                name,
                "is not a file" if there else "there is no such file",
                "the path of a CSV file or an XLSX workbook",
            )
        with open(name, "rb") as source:
            raw = source.read(_LARGEST_FILE_BYTES + 1)
    except (OSError, ValueError) as error:
        if isinstance(error, ScenarioFaults):
            raise
        why = (error.strerror if isinstance(error, OSError) else None) or "not a usable path"
        raise refused(name, f"cannot be read: {why}", "a file that can be read") from None
    if len(raw) > _LARGEST_FILE_BYTES:
        limit = _LARGEST_FILE_BYTES // 1_000_000
        raise refused(name, "is too big", f"at most {limit} MB; give a shorter stretch of time")
    if not raw.strip(b"\x00 \r\n\t"):
        raise refused(name, "is empty", "a table with a row for each stop")
    return raw
