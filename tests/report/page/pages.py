"""A report on a line whose names are hostile, with a study that has every kind of chart."""

from __future__ import annotations

from functools import lru_cache

from linesim.report.answers import (
    Answer,
    AnswerTable,
    Bar,
    Bars,
    Column,
    Curve,
    CurvePoint,
    Figure,
    Map,
)
from linesim.report.page import ReportPage, report_page
from linesim.scenario import Scenario, check_text, find_scenario
from linesim.studies import Replicated, replicate

HOSTILE = "<script>alert('&\"x\"')</script>"
NOTE = 'see </style><img src="http://example.invalid/x.png" onerror=alert(1)> {{ 7*7 }} %}'
NAMES = "Ψηλή линия ň ř – ² ±"


def hostile_text() -> str:
    """The demo with the short bridge, with names and comments that mean harm."""
    text = find_scenario("short-bridge").read_text(encoding="utf-8")
    text = text.replace('name = "short bridge"', f'name = """{HOSTILE}"""')
    text = text.replace('note = "Mid-size', f"note = '''{NOTE}'''\n# \"Mid-size")
    text = text.replace('name = "wrapper"', f'name = "{NAMES}"')
    return text.replace(
        "ream_pitch_mm = 330", "ream_pitch_mm = 330  # <b>measured</b> & 'written' down"
    )


@lru_cache(maxsize=1)
def hostile_line() -> Scenario:
    return check_text(hostile_text())


@lru_cache(maxsize=1)
def hostile_runs() -> Replicated:
    return replicate(hostile_line(), replications=3, hours=1.0, seed=7)


def study() -> Answer:
    """An answer made by hand, with a curve, bars, a map and a table."""
    gain = Figure(620.4, 81.0)
    unsure = Figure(-12.0, 40.0, shown=False)
    return Answer(
        "size-bridge",
        HOSTILE,
        ("With 21 places it makes 321,000 ± 17,000.", f"Beyond {HOSTILE} nothing pays.", "Third."),
        (
            AnswerTable(
                "curve",
                f"Curve of {HOSTILE}",
                (Column("places"), Column("good reams"), Column("verdict", left=True)),
                ((14, gain, "pays"), (21, unsure, HOSTILE), (40, None, "-")),
            ),
        ),
        ("A note of the study.", "Caution: said elsewhere already."),
        {"seed": 7, "hours": 168.0, "stopped_early": False},
        (
            Curve(
                "curve",
                "What a bridge brings",
                Column("places"),
                Column("good reams", "a week"),
                (CurvePoint(14, gain, 700.0), CurvePoint(21, unsure), CurvePoint(40, None, 800.0)),
                present=21,
                theory_name="by formula, two stations",
            ),
            Bars(
                "bars",
                HOSTILE,
                Column("cause"),
                Column("reams"),
                (Bar(HOSTILE, gain, 600.0), Bar("nothing shown", unsure), Bar("not run", None)),
            ),
            Map(
                "map",
                "Two fields",
                Column("webs"),
                Column("lanes"),
                Column("good reams"),
                (4.0, 5.0),
                (5.0, 6.0),
                ((gain, unsure), (None, gain)),
                (4.0, 5.0),
                (5.0, 6.0),
            ),
        ),
    )


def hostile_page() -> ReportPage:
    """Made afresh on every call."""
    return report_page(
        hostile_line(),
        hostile_runs(),
        [(hostile_line(), study())],
        question=f"Shall we buy {HOSTILE}?",
        date="1 March",
        typed=["linesim report 'a b.toml' --seed 7 -o report.html"],
        text=hostile_text(),
        appendix=True,
    )
