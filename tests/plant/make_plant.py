"""Make the invented plant of the worked example: its stop log and its production counts.

    python tests/plant/make_plant.py

Both are of a hidden variant of the demo line ``short-bridge``: twenty shifts of it, of which one
dirty log is kept as plants do, in the words and with the mistakes of people. What differs from the
demo stands in :data:`HIDDEN`; tests ask whether the fit finds it.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
from pathlib import Path
from typing import Any

import numpy as np

from linesim.fast import simulate
from linesim.record import Record
from linesim.record.ripple import stop_events
from linesim.record.web_motion import WebMotion
from linesim.scenario import Scenario, load

CLONE = Path(__file__).parents[2]
FOLDER = CLONE / "scenarios" / "plant"
SHIFTS, SHIFT_H = 20, 8
MONDAY = dt.datetime(2026, 3, 2, 14)
"""Two shifts a day, 14:00 to 22:00 and 22:00 to 06:00, weekdays."""
SEED = 1

HIDDEN: dict[str, dict[str, Any]] = {
    "wrapper jam": {
        "every_reams": {"law": "exponential", "mean": 550},
        "restore_min": {"law": "lognormal", "mean": 1.4, "sd": 0.9},
    },
    "overlap belt": {
        "every_running_h": {"law": "exponential", "mean": 5},
        "restore_min": {"law": "lognormal", "mean": 4, "sd": 2},
    },
    "outfeed jam": {
        "every_reams": {"law": "exponential", "mean": 3500},
        "restore_min": {"law": "lognormal", "mean": 3, "sd": 1.5},
    },
    "trim suction": {
        "every_running_h": {"law": "exponential", "mean": 9},
        "restore_min": {"law": "lognormal", "mean": 6, "sd": 3},
    },
    "label printer": {"every_reams": {"law": "weibull", "mean": 9000, "shape": 3}},
    "pallet missing": {
        "station": "outfeed",
        "every_running_h": {"law": "exponential", "mean": 7},
        "restore_min": {"law": "lognormal", "mean": 2.5, "sd": 1},
    },
}
"""Fields of the stop causes that the plant has otherwise than the demo."""

NOT_LOGGED = ("splice", "wrapping roll")
"""Routine: nobody writes these down."""
SPELT = {
    "wrapper jam": ("wrapper jam", "Wrapper Jam", "jam wrapper", "wraper jam"),
    "outfeed jam": ("outfeed jam", "jam outfeed", "Outfeed-Jam"),
    "web break": ("web break", "WEB BREAK"),
}


def hidden_plant() -> Scenario:
    """The line that the plant really is."""
    scenario = load(CLONE / "scenarios" / "short-bridge.toml")
    stops = []
    for stop in scenario.stop:
        data = stop.model_dump(exclude_none=True)
        changed = HIDDEN.get(stop.cause, {})
        if any(name.startswith("every_") for name in changed):
            data.pop(stop.meter)
        stops.append(data | changed)
    known = {stop.cause for stop in scenario.stop}
    stops += [{"cause": name, **data} for name, data in HIDDEN.items() if name not in known]
    return scenario.varied(stop=stops)


def clock(hours: float) -> dt.datetime:
    """The plant's clock after so many hours of the run; weekends have no shift."""
    day, rest = divmod(hours, 2 * SHIFT_H)
    week, weekday = divmod(int(day), 5)
    return MONDAY + dt.timedelta(days=7 * week + weekday, hours=rest)


def make() -> dict[str, bytes]:
    """The two files by name. The same seed gives the same bytes."""
    record = run_plant(SHIFTS)
    return {
        "stop-log.csv": _log(record),
        "production.csv": _csv(production_rows(record), ",").encode(),
    }


def run_plant(shifts: int) -> Record:
    """The first shifts of the plant; fewer of them are the same ones, only sooner over."""
    return simulate(hidden_plant(), seed=SEED, hours=shifts * SHIFT_H, buckets=shifts)


def production_rows(record: Record) -> list[list[str]]:
    """What was counted, shift by shift."""
    assert record.history is not None
    motion = WebMotion(record.history)
    rows = [["shift start", "shift end", "good reams", "web km"]]
    for n, reams in enumerate(record.good_per_bucket):
        ends = [round(h * SHIFT_H * 3.6e12) + record.start_ns for h in (n, n + 1)]
        km = (motion.place_um(ends[1]) - motion.place_um(ends[0])) / 1e9
        start = clock(n * SHIFT_H)
        end = start + dt.timedelta(hours=SHIFT_H)
        rows.append([f"{start:%Y-%m-%d %H:%M}", f"{end:%Y-%m-%d %H:%M}", str(reams), f"{km:.2f}"])
    return rows


def logged_rows(record: Record, rng: np.random.Generator) -> list[list[str]]:
    """The stops as they are written down, before anybody makes a mistake."""
    rows: list[list[str]] = []
    for event in stop_events(record):
        cause = re.sub(r" \(web \d+\)$", "", record.causes[event.cause])
        if cause in NOT_LOGGED:
            continue
        spelt = SPELT.get(cause, (cause,))
        which = int(rng.choice(len(spelt), p=_weights(len(spelt))))
        station = record.stations[event.station].replace("_", " ")
        start = clock((event.start_ns - record.start_ns) / 3.6e12)
        rows.append(_row(start, event.length_ns / 6e10, station, spelt[which]))
    return rows


def _log(record: Record) -> bytes:
    rng = np.random.default_rng(SEED)
    rows = logged_rows(record, rng)
    for fault in _faults(rng, rows):
        rows.insert(int(rng.integers(1, len(rows))), fault)
    top = [["Störungsliste der Linie (erfunden)", "", "", "", ""], [""] * 5]
    head = ["Datum", "Beginn", "Dauer [min]", "Station", "Ursache"]
    total = ["Summe", "", f"{sum(_minutes(row) for row in rows):.0f}", "", ""]
    return _csv([*top, head, *rows, total], ";").encode("cp1252")


def _weights(count: int) -> list[float]:
    return [1.0] if count == 1 else [0.7] + [0.3 / (count - 1)] * (count - 1)


def _row(start: dt.datetime, minutes: float, station: str, cause: str) -> list[str]:
    length = f"{minutes:.2f}".replace(".", ",")
    return [f"{start:%d.%m.%Y}", f"{start:%H:%M:%S}", length, station, cause]


def _minutes(row: list[str]) -> float:
    text = row[2].replace(",", ".")
    return float(text) if re.fullmatch(r"[\d.]+", text) else 0.0


def _faults(rng: np.random.Generator, rows: list[list[str]]) -> list[list[str]]:
    """Rows as people get them wrong, made from good ones."""

    def some(count: int) -> list[list[str]]:
        return [list(rows[int(n)]) for n in rng.choice(len(rows), count, replace=False)]

    faults = some(6)  # entered twice
    for row in some(3):  # the stop not closed before the weekend
        faults.append([row[0], row[1], "2880", row[3], row[4]])
    for row in some(4):
        faults.append([row[0], "25:10", row[2], row[3], row[4]])
    for row in some(3):
        faults.append([row[0], row[1], "-" + row[2], row[3], row[4]])
    for row in some(3):
        faults.append([row[0], row[1], "", row[3], row[4]])
    for row in some(5):
        faults.append([row[0], row[1], row[2], row[3], "?"])
    for row in some(2):  # the year mistyped
        faults.append([row[0].replace("2026", "2062"), *row[1:]])
    for row in some(2):  # on a Sunday, when nobody was there
        faults.append(["08.03.2026", *row[1:]])
    return faults


def _csv(rows: list[list[str]], separator: str) -> str:
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\r\n").writerows(rows)
    return out.getvalue()


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for name, data in make().items():
        (FOLDER / name).write_bytes(data)
