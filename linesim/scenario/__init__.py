"""Scenarios: what a line is, as its file says it."""

from linesim.scenario.changed_law import law_like
from linesim.scenario.contradictions import contradictions
from linesim.scenario.currency import CURRENCY, currency_of, in_currency, unit_in
from linesim.scenario.curves import LawCurve, law_curve
from linesim.scenario.doubt_entries import (
    doubt_at,
    doubt_changes,
    doubt_fields,
    doubts_about,
    doubts_moved,
)
from linesim.scenario.doubts import Doubted, doubted, mean_doubted, scores
from linesim.scenario.entry_order import move_entry
from linesim.scenario.faults import Contradiction, Fault, ScenarioFaults, dotted
from linesim.scenario.field_descriptions import (
    FieldDescription,
    FieldGroup,
    LawDescription,
    default_at,
    field_groups,
    law_descriptions,
)
from linesim.scenario.field_labels import entry_label, path_label
from linesim.scenario.known_causes import KNOWN_CAUSES
from linesim.scenario.loading import (
    check_mapping,
    check_text,
    find_scenario,
    load,
    parse,
    read_text,
    shipped_scenarios,
)
from linesim.scenario.plants import drawn, without_doubt
from linesim.scenario.remarks import Remark, remarks
from linesim.scenario.scenario import Scenario
from linesim.scenario.schema import json_schema, state_schema
from linesim.scenario.spelling import nearest
from linesim.scenario.state_file import (
    check_state_text,
    dump_state,
    load_state,
    state_to_fill_in,
)
from linesim.scenario.state_tables import LineState
from linesim.scenario.stops import STATIONS, WEB_STATIONS, ForcedStop, Stop
from linesim.scenario.units import HOUR
from linesim.scenario.writing import dump, on_one_line, split_name, update

__all__ = [
    "CURRENCY",
    "HOUR",
    "KNOWN_CAUSES",
    "STATIONS",
    "WEB_STATIONS",
    "Contradiction",
    "Doubted",
    "Fault",
    "FieldDescription",
    "FieldGroup",
    "ForcedStop",
    "LawCurve",
    "LawDescription",
    "LineState",
    "Remark",
    "Scenario",
    "ScenarioFaults",
    "Stop",
    "check_mapping",
    "check_state_text",
    "check_text",
    "contradictions",
    "currency_of",
    "default_at",
    "dotted",
    "doubt_at",
    "doubt_changes",
    "doubt_fields",
    "doubted",
    "doubts_about",
    "doubts_moved",
    "drawn",
    "dump",
    "dump_state",
    "entry_label",
    "field_groups",
    "find_scenario",
    "in_currency",
    "json_schema",
    "law_curve",
    "law_descriptions",
    "law_like",
    "load",
    "load_state",
    "mean_doubted",
    "move_entry",
    "nearest",
    "on_one_line",
    "parse",
    "path_label",
    "read_text",
    "remarks",
    "scores",
    "shipped_scenarios",
    "split_name",
    "state_schema",
    "state_to_fill_in",
    "unit_in",
    "update",
    "without_doubt",
]
