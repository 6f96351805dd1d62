"""Scenario and lesson files with wrong structure, wrong values, or values as far as they may go."""

from __future__ import annotations

import random
import tomllib
from pathlib import Path
from typing import Any

from linesim.lessons import shipped_lessons
from linesim.scenario import FieldDescription, field_groups, shipped_scenarios
from tests.trust.broken_bytes import BIG, noise, odd_place, spoilt

Made = tuple[str, Path]
"""What was done, and the file."""

WORDS = (
    *('""', '"x"', "'x'", '"wrapper"', '"exponential"', '"\\u0000"', '"\\U0010FFFF"', '"a\\nb"'),
    *('"' + "a" * 3000 + '"', '"[red]x[/nope]"', '"%s{0}{{7*7}}"', '"<script>alert(1)</script>"'),
    *('"\u202e\u200b\ufeff"', '"e\u0301\u0301"', '"\\ud800"', '"""\nx\n"""', '"=1+1"', "'../../x'"),
    *('"\\u001b[2J"', '"2026-02-30 99:99"', '"9999-12-31 23:59"', '"0000-01-01 00:00"'),
)
NUMBERS = (
    *("0", "-0", "-1", "1", "2", "3", "20", "100", "0.5", "1e308", "-1e308", "1e-308", "5e-324"),
    *("inf", "-inf", "nan", "1e9", "1e-9", "1e-12", "9223372036854775807", "-9223372036854775808"),
    *("18446744073709551616", "1" + "0" * 400, "0.1e-400", "0x7fffffff", "0b1", "1_000", "1__0"),
    *("00", "+5", ".5", "5.", "1e", "8" * 5000, "1000000", "99999", "1e5", "3000000000"),
)
OTHERS = (
    *("true", "false", "[]", "{}", "[[]]", "[1, 2, 3]", "[1, 'a', {}]", "[[[[[[[[]]]]]]]]", ""),
    *("{ a = { a = { a = {} } } }", "{ law = 'x' }", "{ mean = 1 }", "{ law = 5 }", "{ law = [] }"),
    *("2026-05-27T07:32:00Z", "2026-02-30", "07:32:00", "2026-05-27", "{ law = 'constant' }"),
    *("{ law = 'lognormal', mean = 1e9, sd = 1e-9 }", "{ law = 'weibull', mean = 1, shape = 0.2 }"),
    *("{ law = 'gamma', mean = 1, sd = 20 }", "{ law = 'empirical', values = [] }"),
    *("{ law = 'empirical', values = [0, 0] }", "{ law = 'triangular', low=0, mode=0, high=1e9 }"),
    *("{ law = 'uniform', low = 1, high = 0 }", "{ law = 'exponential', mean = 1e-9 }", "x", "= ="),
)
VALUES = (*WORDS, *NUMBERS, *OTHERS)
_ODD_LINES = (
    *("[]", "[a.b.c]", "[[a.b]]", "[[bridge]]", "[bridge]", "[wrapper]", "[stop]", "a.b.c.d = 1"),
    *(
        "places = 5",
        '"places" = 5',
        "'' = 1",
        '"\\u0070laces" = 5',
        "line.name = 'x'",
        "a = 1 b = 2",
    ),
    *("# \x01", "#" * 5000, "\x0c", "[" + "a." * 60 + "a]", "a" * 5000 + " = 1", "\ufeff", "\\"),
    *("a = " + "[" * 500, "a = " + "{a=" * 100, "[[stop]]", "stop = []", "stop = [{}]", "x = '''"),
)


def broken_scenario(chance: random.Random, folder: Path) -> Made:
    """One wrong scenario file, or one whose values are as far as they may go."""
    return _broken(chance, folder, list(shipped_scenarios().values()), extreme=True)


def broken_lesson(chance: random.Random, folder: Path) -> Made:
    """One wrong lesson file."""
    return _broken(chance, folder, list(shipped_lessons().values()), extreme=False)


def _broken(chance: random.Random, folder: Path, shipped: list[Path], *, extreme: bool) -> Made:
    path = folder / "file.toml"
    text = chance.choice(shipped).read_text(encoding="utf-8")
    roll = chance.random()
    if roll < 0.02:
        return odd_place(chance, folder, path.name)
    if roll < 0.024:
        what, raw = _large(chance, text)
        path.write_bytes(raw)
        return what, path
    if roll < 0.10:
        path.write_bytes(noise(chance))
        return "noise", path
    if roll < 0.30:
        path.write_bytes(spoilt(chance, text.encode()))
        return "bytes", path
    if roll < 0.55:
        what, text = "lines", _lines(chance, text)
    elif roll < 0.80 or not extreme:
        what, text = "structure", toml_of(_structure(chance, tomllib.loads(text)))
    else:
        what, text = "extremes", toml_of(_extremes(chance, tomllib.loads(text)))
    mark = chance.choice(("",) * 8 + ("\ufeff",))
    ends = chance.choice(("\n",) * 8 + ("\r\n",))
    path.write_bytes((mark + text.replace("\n", ends)).encode("utf-8", "surrogatepass"))
    return what, path


def _lines(chance: random.Random, text: str) -> str:
    rows = text.split("\n")
    for _ in range(chance.choice((1, 1, 1, 2, 4, 12))):
        n = chance.randrange(len(rows))
        what = chance.random()
        if what < 0.6:
            fields = [i for i, row in enumerate(rows) if " = " in row and not row.startswith("#")]
            if fields:
                n = chance.choice(fields)
                rows[n] = rows[n].split(" = ")[0] + " = " + chance.choice(VALUES)
        elif what < 0.7:
            del rows[n : n + chance.choice((1, 3, 20))]
            rows = rows or [""]
        elif what < 0.8:
            rows.insert(n, chance.choice(rows))
        elif what < 0.85:
            m = chance.randrange(len(rows))
            rows[n], rows[m] = rows[m], rows[n]
        else:
            rows.insert(n, chance.choice(_ODD_LINES))
    return "\n".join(rows)


def _structure(chance: random.Random, data: dict[str, Any]) -> dict[str, Any]:
    for _ in range(chance.choice((1, 2, 3, 8))):
        owner = _somewhere(chance, data)
        keys = list(owner) if isinstance(owner, dict) else list(range(len(owner)))
        if not keys:
            continue
        key = chance.choice(keys)
        what = chance.randrange(7)
        if what == 0:
            del owner[key]
        elif what == 1:
            owner[key] = _Raw(chance.choice(VALUES[:-1]) or "0")
        elif what == 2:
            owner[key] = [owner[key]] * chance.choice((0, 1, 2, 1001))
        elif what == 3:
            owner[key] = {chance.choice(("x", "law", "", "name")): owner[key]}
        elif what == 4 and isinstance(owner, dict):
            owner[chance.choice((str(key) + "x", "", "ü\n", "station", "law"))] = owner[key]
        elif what == 5 and isinstance(owner, list):
            owner.extend(owner[:1] * chance.choice((1, 20, 600)))
        else:
            owner[key] = _deep(chance.choice((5, 38, 39, 40, 200, 3000)))
    return data


def _somewhere(chance: random.Random, data: Any) -> Any:
    inner = list(data.values() if isinstance(data, dict) else data)
    inner = [each for each in inner if isinstance(each, (dict, list)) and each]
    return data if not inner or chance.random() < 0.2 else _somewhere(chance, chance.choice(inner))


def _deep(levels: int) -> Any:
    return _Raw("[" * levels + "]" * levels)


def _extremes(chance: random.Random, data: dict[str, Any]) -> dict[str, Any]:
    """Some fields at the ends of what is legal: most of these files are accepted, and run."""
    for _ in range(chance.choice((1, 2, 3, 6, 15))):
        group = chance.choice(field_groups())
        owner = data.setdefault(group.name, {})
        if isinstance(owner, list):
            if not owner:
                continue
            owner = chance.choice(owner)
        field = chance.choice(group.fields)
        value = _end_of_range(chance, field)
        if value is not None:
            owner[field.name] = value
    return data


def _end_of_range(chance: random.Random, field: FieldDescription) -> Any:
    if field.kind == "law":
        return _Raw(chance.choice(("0", "1e-9", "1e9", "1", *OTHERS[-12:-2])))
    if field.kind == "switch":
        return chance.random() < 0.5
    if field.choices:
        return chance.choice(field.choices)
    low, high = field.low, 1e9 if field.high is None else field.high
    if field.kind == "whole":
        return chance.choice((int(low or 0), int(low or 0) + 1, int(high), 2))
    if field.kind == "number":
        above = field.above or 0
        least = low if low is not None else above + chance.choice((1e-300, 1e-9, 1e-3))
        return chance.choice((float(least), float(high), least + (high - least) / 1000))
    return None


def _large(chance: random.Random, text: str) -> Made | tuple[str, bytes]:
    what = chance.choice(("50 MB", "comments", "list", "stops", "keys", "text", "dots", "values"))
    most = 4_900_000
    row = {
        "50 MB": "# " + "x" * 97 + "\n",
        "comments": "# x\n",
        "stops": "[[stop]]\ncause = 'x'\n",
        "keys": "",
        "dots": "",
    }.get(what, "")
    if what == "50 MB":
        return what, (row * (BIG // len(row))).encode()
    if what == "list":
        text += "\n[x]\na = [" + "1," * (most // 2) + "]\n"
    elif what == "values":
        text = "[reels]\na = { law = 'empirical', values = [" + "1.5, " * 140_000 + "] }\n"
    elif what == "text":
        text = "[line]\nnote = " + chance.choice(('"', "'''", '"""', '"\\')) + "a\\" * (most // 2)
    elif what == "keys":
        text += "".join(f"a{n} = 1\n" for n in range(most // 12))
    elif what == "dots":
        text += "".join(f"a.b{n}.c = 1\n" for n in range(most // 14))
    else:
        text += "\n" + row * (most // len(row))
    return "large: " + what, text.encode()


class _Raw(str):
    """Text that is written as it stands."""


def toml_of(data: dict[str, Any]) -> str:
    """The tables as a TOML file, each on one line as an inline table."""
    return "".join(f"{_key(name)} = {_inline(value)}\n" for name, value in data.items())


def _inline(value: Any) -> str:
    if isinstance(value, _Raw):
        return str(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _key(value)
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{_key(k)} = {_inline(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list):
        return "[" + ", ".join(_inline(each) for each in value) + "]"
    return str(value)


def _key(text: Any) -> str:
    signs = str(text).replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{signs}"'
