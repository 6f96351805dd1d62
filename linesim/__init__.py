"""What a sheeting-and-wrapping line really delivers, and why.

The public face. Names are fetched when first used, so that ``import linesim`` costs nothing.

>>> import linesim
>>> scenario = linesim.check_mapping({"slitter": {"lanes": 4}})
>>> scenario.set_reams
4
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from linesim.version import __version__

if TYPE_CHECKING:
    from linesim.fast.engine import simulate as simulate
    from linesim.fast.readiness import EngineState as EngineState
    from linesim.fast.readiness import ready_engine as ready_engine
    from linesim.fast.readiness import see_to_engine as see_to_engine
    from linesim.files import write_bytes as write_bytes
    from linesim.files import write_text as write_text
    from linesim.interrupts import interrupt_held as interrupt_held
    from linesim.interrupts import interrupted as interrupted
    from linesim.interrupts import note_interrupts as note_interrupts
    from linesim.lessons import Lesson as Lesson
    from linesim.lessons import LessonTruth as LessonTruth
    from linesim.lessons import lesson_scenario as lesson_scenario
    from linesim.lessons import lesson_truth as lesson_truth
    from linesim.lessons import load_lesson as load_lesson
    from linesim.lessons import over_lucks_of as over_lucks_of
    from linesim.lessons import shipped_lessons as shipped_lessons
    from linesim.plant.causes_matched import MatchedCause as MatchedCause
    from linesim.plant.fitting import CauseFit as CauseFit
    from linesim.plant.fitting import with_trend as with_trend
    from linesim.plant.into_scenario import why_not_written as why_not_written
    from linesim.plant.into_scenario import write_fits as write_fits
    from linesim.plant.invented import invented_plant as invented_plant
    from linesim.plant.log_columns import LOG_FIELDS as LOG_FIELDS
    from linesim.plant.log_fits import FitSettings as FitSettings
    from linesim.plant.log_fits import LogFits as LogFits
    from linesim.plant.log_fits import MatchedLog as MatchedLog
    from linesim.plant.log_fits import fit_log as fit_log
    from linesim.plant.log_look import LogLook as LogLook
    from linesim.plant.log_look import forget_told as forget_told
    from linesim.plant.log_look import look_at_log as look_at_log
    from linesim.plant.stop_log import LogSettings as LogSettings
    from linesim.plant.stop_log import StopLog as StopLog
    from linesim.plant.stop_log import Told as Told
    from linesim.questions import STUDIES as STUDIES
    from linesim.questions import Option as Option
    from linesim.questions import Question as Question
    from linesim.questions import QuestionError as QuestionError
    from linesim.questions import Study as Study
    from linesim.questions import StudyOptions as StudyOptions
    from linesim.questions.asking import ask as ask
    from linesim.questions.from_file import answer_from_file as answer_from_file
    from linesim.questions.study_files import cached_study as cached_study
    from linesim.questions.study_files import study_file_for as study_file_for
    from linesim.record import PRODUCING as PRODUCING
    from linesim.record import WAITING as WAITING
    from linesim.record import Books as Books
    from linesim.record import History as History
    from linesim.record import Kind as Kind
    from linesim.record import Loss as Loss
    from linesim.record import OrderDone as OrderDone
    from linesim.record import Record as Record
    from linesim.record import Spans as Spans
    from linesim.record import State as State
    from linesim.record import StopTotal as StopTotal
    from linesim.record.audit import audit as audit
    from linesim.record.capacity import StationRate as StationRate
    from linesim.record.capacity import line_rates as line_rates
    from linesim.record.capacity import slowest_net as slowest_net
    from linesim.record.capacity import station_rates as station_rates
    from linesim.record.disturbance import Disturbance as Disturbance
    from linesim.record.disturbance import disturbance as disturbance
    from linesim.record.effectiveness import Effectiveness as Effectiveness
    from linesim.record.effectiveness import line_effectiveness as line_effectiveness
    from linesim.record.effectiveness import station_effectiveness as station_effectiveness
    from linesim.record.lanes import sheeter_spans as sheeter_spans
    from linesim.record.moment import Moment as Moment
    from linesim.record.moment import ReelNow as ReelNow
    from linesim.record.moment import SetNow as SetNow
    from linesim.record.moment import SetPlace as SetPlace
    from linesim.record.moment import StationNow as StationNow
    from linesim.record.moment import WrapperNow as WrapperNow
    from linesim.record.moments import Moments as Moments
    from linesim.record.moments import moment_at as moment_at
    from linesim.record.outflow import GAP_STEPS as GAP_STEPS
    from linesim.record.outflow import Outflow as Outflow
    from linesim.record.outflow import outflow as outflow
    from linesim.record.paper_use import PaperUse as PaperUse
    from linesim.record.paper_use import paper_use as paper_use
    from linesim.record.ripple import OWN_STATES as OWN_STATES
    from linesim.record.ripple import Reached as Reached
    from linesim.record.ripple import Ripple as Ripple
    from linesim.record.ripple import StopEvent as StopEvent
    from linesim.record.ripple import ripple as ripple
    from linesim.record.ripple import stop_behind as stop_behind
    from linesim.record.ripple import stop_events as stop_events
    from linesim.record.states import station_words as station_words
    from linesim.report.answers import Answer as Answer
    from linesim.report.answers import AnswerTable as AnswerTable
    from linesim.report.answers import Bar as Bar
    from linesim.report.answers import Bars as Bars
    from linesim.report.answers import Bounded as Bounded
    from linesim.report.answers import Chart as Chart
    from linesim.report.answers import Column as Column
    from linesim.report.answers import Curve as Curve
    from linesim.report.answers import CurvePoint as CurvePoint
    from linesim.report.answers import Figure as Figure
    from linesim.report.answers import Map as Map
    from linesim.report.answers import NoWorkbookError as NoWorkbookError
    from linesim.report.answers import Scatter as Scatter
    from linesim.report.answers import answer_json as answer_json
    from linesim.report.answers import table_csv as table_csv
    from linesim.report.answers import write_answer_csv as write_answer_csv
    from linesim.report.answers import write_answer_xlsx as write_answer_xlsx
    from linesim.report.answers.bridge_sizes import BridgeSizes as BridgeSizes
    from linesim.report.answers.bridge_sizes import SizeDescription as SizeDescription
    from linesim.report.answers.bridge_sizes import bridge_sizes as bridge_sizes
    from linesim.report.answers.log_answer import fit_answer as fit_answer
    from linesim.report.answers.log_answer import written_words as written_words
    from linesim.report.answers.log_tables import fit_overview as fit_overview
    from linesim.report.answers.log_tables import log_words as log_words
    from linesim.report.answers.log_tables import row_tables as row_tables
    from linesim.report.answers.printing import bar_text as bar_text
    from linesim.report.answers.printing import cell_text as cell_text
    from linesim.report.answers.stop_fit_charts import fit_charts as fit_charts
    from linesim.report.as_text import causes_text as causes_text
    from linesim.report.as_text import rates_text as rates_text
    from linesim.report.as_text import run_text as run_text
    from linesim.report.at_a_glance import Glance as Glance
    from linesim.report.at_a_glance import GlanceFigure as GlanceFigure
    from linesim.report.at_a_glance import LossChange as LossChange
    from linesim.report.at_a_glance import LossStep as LossStep
    from linesim.report.at_a_glance import RateBar as RateBar
    from linesim.report.at_a_glance import as_one_run as as_one_run
    from linesim.report.at_a_glance import glance as glance
    from linesim.report.at_a_glance import glance_difference as glance_difference
    from linesim.report.at_a_glance import loss_changes as loss_changes
    from linesim.report.at_a_glance import loss_staircase as loss_staircase
    from linesim.report.at_a_glance import rate_bars as rate_bars
    from linesim.report.csv_folder import write_folder as write_folder
    from linesim.report.disturbance_words import disturbance_words as disturbance_words
    from linesim.report.fonts import embedded_fonts as embedded_fonts
    from linesim.report.json_text import json_text as json_text
    from linesim.report.lesson_words import truth_words as truth_words
    from linesim.report.moment_words import BesideLabels as BesideLabels
    from linesim.report.moment_words import MomentLabels as MomentLabels
    from linesim.report.moment_words import beside_labels as beside_labels
    from linesim.report.moment_words import clock_text as clock_text
    from linesim.report.moment_words import describe_moment as describe_moment
    from linesim.report.moment_words import moment_labels as moment_labels
    from linesim.report.moment_words import states_in_words as states_in_words
    from linesim.report.over_lucks_words import over_lucks_words as over_lucks_words
    from linesim.report.page import PageRefusedError as PageRefusedError
    from linesim.report.page import ReportPage as ReportPage
    from linesim.report.page import report_page as report_page
    from linesim.report.page.fit_pictures import write_fit_pictures as write_fit_pictures
    from linesim.report.plain import CAUTIONS as CAUTIONS
    from linesim.report.plain import INVENTED as INVENTED
    from linesim.report.plain import counting_notice as counting_notice
    from linesim.report.ripple_words import clock_words as clock_words
    from linesim.report.ripple_words import duration_words as duration_words
    from linesim.report.ripple_words import is_pace as is_pace
    from linesim.report.ripple_words import ripple_words as ripple_words
    from linesim.report.ripple_words import state_words as state_words
    from linesim.scenario import KNOWN_CAUSES as KNOWN_CAUSES
    from linesim.scenario import STATIONS as STATIONS
    from linesim.scenario import WEB_STATIONS as WEB_STATIONS
    from linesim.scenario import Contradiction as Contradiction
    from linesim.scenario import Fault as Fault
    from linesim.scenario import FieldDescription as FieldDescription
    from linesim.scenario import FieldGroup as FieldGroup
    from linesim.scenario import ForcedStop as ForcedStop
    from linesim.scenario import LawCurve as LawCurve
    from linesim.scenario import LawDescription as LawDescription
    from linesim.scenario import Scenario as Scenario
    from linesim.scenario import ScenarioFaults as ScenarioFaults
    from linesim.scenario import Stop as Stop
    from linesim.scenario import check_mapping as check_mapping
    from linesim.scenario import check_text as check_text
    from linesim.scenario import default_at as default_at
    from linesim.scenario import dotted as dotted
    from linesim.scenario import dump as dump
    from linesim.scenario import field_groups as field_groups
    from linesim.scenario import find_scenario as find_scenario
    from linesim.scenario import json_schema as json_schema
    from linesim.scenario import law_curve as law_curve
    from linesim.scenario import law_descriptions as law_descriptions
    from linesim.scenario import law_like as law_like
    from linesim.scenario import load as load
    from linesim.scenario import move_entry as move_entry
    from linesim.scenario import parse as parse
    from linesim.scenario import read_text as read_text
    from linesim.scenario import shipped_scenarios as shipped_scenarios
    from linesim.scenario import split_name as split_name
    from linesim.scenario import update as update
    from linesim.scenario.contradictions import contradictions as contradictions
    from linesim.scenario.units import HOUR as HOUR
    from linesim.statistics import Interval as Interval
    from linesim.statistics import PairedInterval as PairedInterval
    from linesim.statistics import format_with_interval as format_with_interval
    from linesim.statistics import paired_interval as paired_interval
    from linesim.statistics import student_interval as student_interval
    from linesim.studies import Replicated as Replicated
    from linesim.studies import RunFigures as RunFigures
    from linesim.studies import figures_of as figures_of
    from linesim.studies.changes import bridge_fields as bridge_fields
    from linesim.studies.changes import with_bridge as with_bridge
    from linesim.studies.executors import WorkersLostError as WorkersLostError
    from linesim.studies.executors import processes_for as processes_for
    from linesim.studies.progress import Progress as Progress
    from linesim.studies.replicate import replicate as replicate
    from linesim.studies.runner import Runner as Runner
    from linesim.studies.runner import Settings as Settings
    from linesim.studies.runner import StoppedError as StoppedError
    from linesim.studies.settling import NotSettledError as NotSettledError
    from linesim.studies.settling import Settled as Settled
    from linesim.studies.settling import in_the_long_run as in_the_long_run
    from linesim.studies.settling import long_run_for as long_run_for
    from linesim.studies.stop_over_lucks import StopOverLucks as StopOverLucks
    from linesim.studies.stop_over_lucks import stop_over_lucks as stop_over_lucks
    from linesim.studies.study_file import StudyFile as StudyFile
    from linesim.studies.study_file import StudyFileError as StudyFileError

_HOMES = {
    "Answer": "linesim.report.answers",
    "AnswerTable": "linesim.report.answers",
    "Bar": "linesim.report.answers",
    "Bars": "linesim.report.answers",
    "BesideLabels": "linesim.report.moment_words",
    "Books": "linesim.record",
    "Bounded": "linesim.report.answers",
    "BridgeSizes": "linesim.report.answers.bridge_sizes",
    "CAUTIONS": "linesim.report.plain",
    "CauseFit": "linesim.plant.fitting",
    "Chart": "linesim.report.answers",
    "Column": "linesim.report.answers",
    "Contradiction": "linesim.scenario",
    "Curve": "linesim.report.answers",
    "CurvePoint": "linesim.report.answers",
    "Disturbance": "linesim.record.disturbance",
    "Effectiveness": "linesim.record.effectiveness",
    "EngineState": "linesim.fast",
    "Fault": "linesim.scenario",
    "FieldDescription": "linesim.scenario",
    "FieldGroup": "linesim.scenario",
    "Figure": "linesim.report.answers",
    "FitSettings": "linesim.plant.log_fits",
    "ForcedStop": "linesim.scenario",
    "GAP_STEPS": "linesim.record.outflow",
    "Glance": "linesim.report.at_a_glance",
    "GlanceFigure": "linesim.report.at_a_glance",
    "History": "linesim.record",
    "INVENTED": "linesim.report.plain",
    "Interval": "linesim.statistics",
    "KNOWN_CAUSES": "linesim.scenario",
    "Kind": "linesim.record",
    "LOG_FIELDS": "linesim.plant.log_columns",
    "LawCurve": "linesim.scenario",
    "LawDescription": "linesim.scenario",
    "Lesson": "linesim.lessons",
    "LessonTruth": "linesim.lessons",
    "LogFits": "linesim.plant.log_fits",
    "LogLook": "linesim.plant.log_look",
    "LogSettings": "linesim.plant.stop_log",
    "Loss": "linesim.record",
    "LossChange": "linesim.report.at_a_glance",
    "LossStep": "linesim.report.at_a_glance",
    "Map": "linesim.report.answers",
    "MatchedCause": "linesim.plant.causes_matched",
    "MatchedLog": "linesim.plant.log_fits",
    "Moment": "linesim.record.moment",
    "MomentLabels": "linesim.report.moment_words",
    "Moments": "linesim.record.moments",
    "HOUR": "linesim.scenario.units",
    "NoWorkbookError": "linesim.report.answers",
    "OWN_STATES": "linesim.record.ripple",
    "OrderDone": "linesim.record",
    "Outflow": "linesim.record.outflow",
    "PRODUCING": "linesim.record",
    "PageRefusedError": "linesim.report.page",
    "PairedInterval": "linesim.statistics",
    "PaperUse": "linesim.record.paper_use",
    "Progress": "linesim.studies.progress",
    "STUDIES": "linesim.questions",
    "Question": "linesim.questions",
    "QuestionError": "linesim.questions",
    "Option": "linesim.questions",
    "Study": "linesim.questions",
    "StudyOptions": "linesim.questions",
    "RateBar": "linesim.report.at_a_glance",
    "Reached": "linesim.record.ripple",
    "Record": "linesim.record",
    "ReelNow": "linesim.record.moment",
    "Replicated": "linesim.studies",
    "ReportPage": "linesim.report.page",
    "Ripple": "linesim.record.ripple",
    "RunFigures": "linesim.studies",
    "Runner": "linesim.studies.runner",
    "STATIONS": "linesim.scenario",
    "Scatter": "linesim.report.answers",
    "Scenario": "linesim.scenario",
    "ScenarioFaults": "linesim.scenario",
    "SetNow": "linesim.record.moment",
    "SetPlace": "linesim.record.moment",
    "Settings": "linesim.studies.runner",
    "Settled": "linesim.studies.settling",
    "SizeDescription": "linesim.report.answers.bridge_sizes",
    "Spans": "linesim.record",
    "State": "linesim.record",
    "StationNow": "linesim.record.moment",
    "StationRate": "linesim.record.capacity",
    "Stop": "linesim.scenario",
    "StopEvent": "linesim.record.ripple",
    "StopLog": "linesim.plant.stop_log",
    "StopOverLucks": "linesim.studies.stop_over_lucks",
    "StopTotal": "linesim.record",
    "StoppedError": "linesim.studies.runner",
    "StudyFile": "linesim.studies.study_file",
    "StudyFileError": "linesim.studies.study_file",
    "Told": "linesim.plant.stop_log",
    "WAITING": "linesim.record",
    "WEB_STATIONS": "linesim.scenario",
    "WorkersLostError": "linesim.studies.executors",
    "WrapperNow": "linesim.record.moment",
    "answer_from_file": "linesim.questions.from_file",
    "answer_json": "linesim.report.answers",
    "as_one_run": "linesim.report.at_a_glance",
    "ask": "linesim.questions.asking",
    "audit": "linesim.record.audit",
    "bar_text": "linesim.report.answers.printing",
    "beside_labels": "linesim.report.moment_words",
    "bridge_fields": "linesim.studies.changes",
    "bridge_sizes": "linesim.report.answers.bridge_sizes",
    "cached_study": "linesim.questions.study_files",
    "causes_text": "linesim.report.as_text",
    "cell_text": "linesim.report.answers.printing",
    "check_mapping": "linesim.scenario",
    "check_text": "linesim.scenario",
    "clock_text": "linesim.report.moment_words",
    "clock_words": "linesim.report.ripple_words",
    "contradictions": "linesim.scenario",
    "counting_notice": "linesim.report.plain",
    "default_at": "linesim.scenario",
    "describe_moment": "linesim.report.moment_words",
    "disturbance": "linesim.record.disturbance",
    "disturbance_words": "linesim.report.disturbance_words",
    "dotted": "linesim.scenario",
    "dump": "linesim.scenario",
    "duration_words": "linesim.report.ripple_words",
    "embedded_fonts": "linesim.report.fonts",
    "field_groups": "linesim.scenario",
    "figures_of": "linesim.studies",
    "find_scenario": "linesim.scenario",
    "fit_answer": "linesim.report.answers.log_answer",
    "fit_charts": "linesim.report.answers.stop_fit_charts",
    "fit_log": "linesim.plant.log_fits",
    "fit_overview": "linesim.report.answers.log_tables",
    "forget_told": "linesim.plant.log_look",
    "format_with_interval": "linesim.statistics",
    "glance": "linesim.report.at_a_glance",
    "glance_difference": "linesim.report.at_a_glance",
    "interrupt_held": "linesim.interrupts",
    "interrupted": "linesim.interrupts",
    "invented_plant": "linesim.plant.invented",
    "is_pace": "linesim.report.ripple_words",
    "json_schema": "linesim.scenario",
    "json_text": "linesim.report.json_text",
    "law_curve": "linesim.scenario",
    "law_descriptions": "linesim.scenario",
    "law_like": "linesim.scenario",
    "lesson_scenario": "linesim.lessons",
    "lesson_truth": "linesim.lessons",
    "line_effectiveness": "linesim.record.effectiveness",
    "line_rates": "linesim.record.capacity",
    "load": "linesim.scenario",
    "load_lesson": "linesim.lessons",
    "log_words": "linesim.report.answers.log_tables",
    "look_at_log": "linesim.plant.log_look",
    "loss_changes": "linesim.report.at_a_glance",
    "loss_staircase": "linesim.report.at_a_glance",
    "moment_at": "linesim.record.moments",
    "moment_labels": "linesim.report.moment_words",
    "move_entry": "linesim.scenario",
    "note_interrupts": "linesim.interrupts",
    "outflow": "linesim.record.outflow",
    "over_lucks_of": "linesim.lessons",
    "over_lucks_words": "linesim.report.over_lucks_words",
    "paired_interval": "linesim.statistics",
    "paper_use": "linesim.record.paper_use",
    "parse": "linesim.scenario",
    "processes_for": "linesim.studies.executors",
    "rate_bars": "linesim.report.at_a_glance",
    "rates_text": "linesim.report.as_text",
    "read_text": "linesim.scenario",
    "ready_engine": "linesim.fast",
    "replicate": "linesim.studies.replicate",
    "report_page": "linesim.report.page",
    "ripple": "linesim.record.ripple",
    "ripple_words": "linesim.report.ripple_words",
    "row_tables": "linesim.report.answers.log_tables",
    "run_text": "linesim.report.as_text",
    "see_to_engine": "linesim.fast",
    "sheeter_spans": "linesim.record.lanes",
    "shipped_lessons": "linesim.lessons",
    "shipped_scenarios": "linesim.scenario",
    "simulate": "linesim.fast",
    "slowest_net": "linesim.record.capacity",
    "split_name": "linesim.scenario",
    "state_words": "linesim.report.ripple_words",
    "states_in_words": "linesim.report.moment_words",
    "station_effectiveness": "linesim.record.effectiveness",
    "station_rates": "linesim.record.capacity",
    "station_words": "linesim.record.states",
    "stop_behind": "linesim.record.ripple",
    "stop_events": "linesim.record.ripple",
    "stop_over_lucks": "linesim.studies.stop_over_lucks",
    "student_interval": "linesim.statistics",
    "study_file_for": "linesim.questions.study_files",
    "table_csv": "linesim.report.answers",
    "truth_words": "linesim.report.lesson_words",
    "update": "linesim.scenario",
    "long_run_for": "linesim.studies.settling",
    "in_the_long_run": "linesim.studies.settling",
    "NotSettledError": "linesim.studies.settling",
    "why_not_written": "linesim.plant.into_scenario",
    "with_bridge": "linesim.studies.changes",
    "with_trend": "linesim.plant.fitting",
    "write_answer_csv": "linesim.report.answers",
    "write_answer_xlsx": "linesim.report.answers",
    "write_bytes": "linesim.files",
    "write_fit_pictures": "linesim.report.page.fit_pictures",
    "write_fits": "linesim.plant.into_scenario",
    "write_folder": "linesim.report.csv_folder",
    "write_text": "linesim.files",
    "written_words": "linesim.report.answers.log_answer",
}

__all__ = ["__version__", *_HOMES]


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        value = getattr(import_module(_HOMES[name]), name)
        globals()[name] = value
        return value
    raise AttributeError(f"module 'linesim' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)
