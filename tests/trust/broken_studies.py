"""Study files that are damaged, lie, are another program's, or hold code."""

from __future__ import annotations

import hashlib
import json
import random
import shutil
import sqlite3
import tempfile
from copy import deepcopy
from functools import lru_cache
from pathlib import Path
from typing import Any

from linesim.questions import Question, ask
from linesim.scenario import check_text
from linesim.studies import Settings
from tests.trust.broken_bytes import BIG, noise, odd_place, spoilt

_KEPT = tempfile.TemporaryDirectory(prefix="linesim-studies-")
ASKED: tuple[tuple[str, dict[str, Any]], ...] = (
    ("compare", {}),
    ("size-bridge", {"places": "5,8", "levels": False}),
    ("rank-stops", {}),
    ("what-holds", {}),
    ("vary", {"fields": ["crew.size=2,3"]}),
    ("plan-orders", {}),
)
_LINE = """
[line]
name = "{name}"
shift_hours = 0.02
[unwind]
webs = 1
[slitter]
lanes = 2
[bridge]
places = 6
[[stop]]
cause = "wrapper jam"
[[order]]
name = "first"
reams = 5
due_h = 0.01
[[order]]
name = "second"
reams = 3
"""
_JSON = (
    *("", "null", "[]", "{}", "1", '"x"', "NaN", "[" * 100_000, '{"a":' * 50_000, "{", "true"),
    *('{"study": "compare"}', '{"study": "x", "options": {}, "long_run": false}', "[[]]", "\u202e"),
    *('[["", ""]]', '[["a", "x ="]]', '[["a", 1]]', "[" + "1," * 100_000 + "1]", "9" * 5000),
)
_VALUES: tuple[Any, ...] = (
    *(None, True, 0, -1, 1, 2, 10**12, 10**400, 1e308, -1e308, 5e-324, float("nan"), float("inf")),
    *(
        "",
        "x",
        "\u202e",
        "x" * 100_000,
        [],
        {},
        [[]],
        [None],
        {"": 0},
        "../../etc/passwd",
        "1..9e9",
    ),
)
_CODE = (
    "CREATE TRIGGER t AFTER INSERT ON about BEGIN DELETE FROM run; END",
    "CREATE VIEW v AS SELECT load_extension('x')",
    "CREATE TABLE more (x)",
    "CREATE INDEX i ON run (outcome)",
    "DROP TABLE run",
    "DROP TABLE about",
    "ALTER TABLE run RENAME TO runs",
    "ALTER TABLE run ADD COLUMN more",
    "DROP TABLE run; CREATE VIEW run AS SELECT 'x' AS key, 'x' AS outcome",
    "PRAGMA user_version = 7",
    "PRAGMA application_id = 0",
    "PRAGMA application_id = 1196444487",
    "PRAGMA journal_mode = WAL",
    "DELETE FROM about",
    "DELETE FROM run",
    "UPDATE about SET value = x'fffe00' WHERE name = 'question'",
    "UPDATE about SET value = CAST(x'ff41' AS TEXT)",
    "UPDATE about SET value = CAST(x'ff41' AS TEXT) WHERE name = 'scenario_texts'",
    "UPDATE about SET value = zeroblob(30000000) WHERE name = 'settings'",
    "UPDATE about SET value = 'other' WHERE name = 'program'",
    "UPDATE about SET value = 'other' WHERE name = 'scenario'",
    "UPDATE run SET outcome = CAST(x'ff41' AS TEXT)",
    "UPDATE run SET outcome = x'00'",
    "UPDATE run SET outcome = 5",
    "UPDATE run SET outcome = zeroblob(6000000)",
    "UPDATE run SET key = key || 'x'",
    "INSERT INTO about SELECT 'x' || value, value FROM generate_series(1, 10)",
    "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 200000)"
    " INSERT INTO run SELECT 'k' || i, 'x' FROM n",
    "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 200000)"
    " INSERT INTO about SELECT 'k' || i, 'x' FROM n",
)


def scenarios_asked(several: bool = True) -> dict[str, Any]:
    """The scenarios that the whole study files are about."""
    lines = {name: check_text(_LINE.format(name=name)) for name in ("one", "other")}
    lines["other"] = lines["other"].varied(bridge={"places": 9})
    return lines if several else {"": lines["one"]}


@lru_cache(maxsize=1)
def whole_studies() -> list[Path]:
    """A small study file for each question, made once."""
    folder, files = Path(_KEPT.name), []
    for name, options in ASKED:
        path = folder / f"{name}.sqlite"
        settings = Settings(replications=2, most=2, hours=0.02, processes=1)
        ask(Question(name, options), scenarios_asked(name == "compare"), settings, file=path)
        files.append(path)
    return files


def broken_study(chance: random.Random, folder: Path) -> tuple[str, Path]:
    """One wrong study file."""
    path = folder / "file.sqlite"
    whole = chance.choice(whole_studies())
    roll = chance.random()
    if roll < 0.02:
        return odd_place(chance, folder, path.name)
    if roll < 0.025:
        path.write_bytes(b"SQLite format 3\x00" + b"x" * (BIG - 16))
        return "large", path
    if roll < 0.06:
        path.write_bytes(chance.choice((b"", b"SQLite format 3\x00")) + noise(chance))
        return "noise", path
    if roll < 0.30:
        path.write_bytes(spoilt(chance, whole.read_bytes()))
        return "bytes", path
    if roll < 0.35:
        return _others(chance, path)
    shutil.copyfile(whole, path)
    if roll < 0.40:
        beside = path.with_name(path.name + chance.choice(("-journal", "-wal", "-shm")))
        beside.write_bytes(chance.choice((noise(chance), spoilt(chance, whole.read_bytes()))))
        return "file beside it", path
    with sqlite3.connect(path) as db:
        if roll < 0.60:
            what = "tables"
            try:
                db.executescript(chance.choice(_CODE))
            except sqlite3.Error:
                what = "whole"
        elif roll < 0.80:
            what = "question"
            _spoil_note(chance, db)
        else:
            what = "runs"
            _spoil_runs(chance, db)
    db.close()
    return what, path


def _others(chance: random.Random, path: Path) -> tuple[str, Path]:
    db = sqlite3.connect(path, isolation_level=None)
    db.execute(f"PRAGMA page_size = {chance.choice((512, 4096, 65536))}")
    db.execute(f"PRAGMA journal_mode = {chance.choice(('DELETE', 'WAL'))}")
    db.execute(f"PRAGMA application_id = {chance.choice((0, 252006673, -1, 0x6C696E65))}")
    db.execute("CREATE TABLE IF NOT EXISTS page (id INTEGER PRIMARY KEY, text TEXT)")
    db.execute("INSERT INTO page (text) VALUES ('somebody else''s')")
    if chance.random() < 0.5:
        db.execute("CREATE TABLE run (key TEXT PRIMARY KEY, outcome TEXT NOT NULL)")
    db.close()
    return "another program's", path


def _spoil_note(chance: random.Random, db: sqlite3.Connection) -> None:
    name = chance.choice(("question", "settings", "scenario_texts"))
    (text,) = db.execute("SELECT value FROM about WHERE name = ?", (name,)).fetchone()
    if chance.random() < 0.3:
        text = chance.choice(_JSON)
    else:
        text = json.dumps(_spoilt_value(chance, json.loads(text)))
    db.execute("UPDATE about SET value = ? WHERE name = ?", (text, name))


def _spoil_runs(chance: random.Random, db: sqlite3.Connection) -> None:
    rows = db.execute("SELECT key, outcome FROM run ORDER BY key").fetchall()
    for key, kept in rows if chance.random() < 0.5 else [chance.choice(rows)]:
        text = kept.partition(" ")[2]
        if chance.random() < 0.2:
            text = chance.choice(_JSON)
        else:
            text = json.dumps(_spoilt_value(chance, json.loads(text)))
        if chance.random() < 0.8:  # with the digest that makes it look whole
            kept = f"{hashlib.sha256(text.encode()).hexdigest()} {text}"
        else:
            kept = kept.partition(" ")[0] + " " + text
        db.execute("UPDATE run SET outcome = ? WHERE key = ?", (kept, key))


def _spoilt_value(chance: random.Random, value: Any) -> Any:
    """A JSON value with one to three things in it wrong."""
    for _ in range(chance.choice((1, 1, 2, 3))):
        owner = value
        while True:
            items = owner.items() if isinstance(owner, dict) else enumerate(owner)
            inner = [each for _, each in items if isinstance(each, (dict, list)) and each]
            if not inner or chance.random() < 0.4:
                break
            owner = chance.choice(inner)
        keys = list(owner) if isinstance(owner, dict) else list(range(len(owner)))
        if not keys:
            return deepcopy(chance.choice(_VALUES))
        key, what = chance.choice(keys), chance.randrange(5)
        if what == 0:
            del owner[key]
        elif what == 1 and isinstance(owner, dict):
            owner[chance.choice(("x", "", "cause"))] = deepcopy(chance.choice(_VALUES))
        else:
            owner[key] = deepcopy(chance.choice(_VALUES))
    return value
