"""What a run recorded: accounts, books, columns."""

from linesim.record.books import Books, PaperBook, ReamBook, SheetBook
from linesim.record.record import (
    History,
    OrderDone,
    Part,
    Record,
    SpanKey,
    Spans,
    StopTotal,
)
from linesim.record.states import PRODUCING, WAITING, Kind, Loss, State

__all__ = [
    "PRODUCING",
    "WAITING",
    "Books",
    "History",
    "Kind",
    "Loss",
    "OrderDone",
    "PaperBook",
    "Part",
    "ReamBook",
    "Record",
    "SheetBook",
    "SpanKey",
    "Spans",
    "State",
    "StopTotal",
]
