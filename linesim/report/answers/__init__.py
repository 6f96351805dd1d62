"""The answer of a study: words first, then figures, then tables; for people and for programs."""

from linesim.report.answers.answer import Answer, AnswerContent, verdict
from linesim.report.answers.cells import Bounded, Column, Figure
from linesim.report.answers.charts import (
    Bar,
    Bars,
    Chart,
    Curve,
    CurvePoint,
    Map,
    Scatter,
    Tornado,
    TornadoBar,
)
from linesim.report.answers.exports import (
    NoWorkbookError,
    answer_json,
    table_csv,
    write_answer_csv,
    write_answer_xlsx,
)
from linesim.report.answers.printing import answer_text
from linesim.report.answers.tables import AnswerTable

__all__ = [
    "Answer",
    "AnswerContent",
    "AnswerTable",
    "Bar",
    "Bars",
    "Bounded",
    "Chart",
    "Column",
    "Curve",
    "CurvePoint",
    "Figure",
    "Map",
    "NoWorkbookError",
    "Scatter",
    "Tornado",
    "TornadoBar",
    "answer_json",
    "answer_text",
    "table_csv",
    "verdict",
    "write_answer_csv",
    "write_answer_xlsx",
]
