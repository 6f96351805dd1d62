"""The tasks that worker processes know, by name."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from gui.work.about_task import about
from gui.work.answer_task import answer_pdf, answer_text
from gui.work.ask_task import ask, kept_answer
from gui.work.engine_task import engine
from gui.work.lesson_task import lesson, lesson_picture
from gui.work.log_task import fit_log, look_at_log
from gui.work.report_task import report
from gui.work.run_task import run_report, run_tables
from gui.work.share_task import share
from gui.work.shift_task import figures, prefetch, shift, stop_cost_over_replications, story
from gui.work.size_task import ask_sizes, one_more_size

TASKS: dict[str, Callable[..., Any]] = {
    "prefetch": prefetch,
    "shift": shift,
    "figures": figures,
    "story": story,
    "stop_cost_over_replications": stop_cost_over_replications,
    "engine": engine,
    "about": about,
    "ask": ask,
    "ask_sizes": ask_sizes,
    "one_more_size": one_more_size,
    "kept_answer": kept_answer,
    "lesson": lesson,
    "lesson_picture": lesson_picture,
    "look_at_log": look_at_log,
    "fit_log": fit_log,
    "report": report,
    "share": share,
    "answer_pdf": answer_pdf,
    "answer_text": answer_text,
    "run_tables": run_tables,
    "run_report": run_report,
}
