"""What a run recorded: accounts, books, columns."""

from linesim.record.accounts import sheeter_spans
from linesim.record.audit import audit
from linesim.record.books import Books, CartonBook, PaperBook, ReamBook, SheetBook
from linesim.record.capacity import StationRate, line_rates, slowest_net, station_rates
from linesim.record.disturbance import Disturbance, disturbance
from linesim.record.effectiveness import (
    Effectiveness,
    OfProduct,
    line_effectiveness,
    product_effectiveness,
    station_effectiveness,
)
from linesim.record.moment import Moment, ReelNow, SetNow, SetPlace, StationNow, WrapperNow
from linesim.record.moments import Moments, moment_at
from linesim.record.outflow import GAP_STEPS, Outflow, outflow, reams_behind
from linesim.record.paper_use import PaperUse, paper_use
from linesim.record.record import (
    History,
    OrderDone,
    Part,
    Record,
    SpanKey,
    Spans,
    StopTotal,
)
from linesim.record.ripple import (
    LOUD,
    OWN_STATES,
    Reached,
    Ripple,
    StopEvent,
    ripple,
    stop_behind,
    stop_events,
)
from linesim.record.states import PRODUCING, WAITING, Kind, Loss, State, station_words

__all__ = [
    "GAP_STEPS",
    "LOUD",
    "OWN_STATES",
    "PRODUCING",
    "WAITING",
    "Books",
    "CartonBook",
    "Disturbance",
    "Effectiveness",
    "History",
    "Kind",
    "Loss",
    "Moment",
    "Moments",
    "OfProduct",
    "OrderDone",
    "Outflow",
    "PaperBook",
    "PaperUse",
    "Part",
    "Reached",
    "ReamBook",
    "Record",
    "ReelNow",
    "Ripple",
    "SetNow",
    "SetPlace",
    "SheetBook",
    "SpanKey",
    "Spans",
    "State",
    "StationNow",
    "StationRate",
    "StopEvent",
    "StopTotal",
    "WrapperNow",
    "audit",
    "disturbance",
    "line_effectiveness",
    "line_rates",
    "moment_at",
    "outflow",
    "paper_use",
    "product_effectiveness",
    "reams_behind",
    "ripple",
    "sheeter_spans",
    "slowest_net",
    "station_effectiveness",
    "station_rates",
    "station_words",
    "stop_behind",
    "stop_events",
]
