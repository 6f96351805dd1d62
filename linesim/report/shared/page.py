"""The page of a shared shift: what was run in words, and the run itself, to be played."""

from __future__ import annotations

import json

from linesim.record import Disturbance, Record, stop_events
from linesim.report.disturbance_in_words import WITHOUT_THE_STOP, disturbance_words
from linesim.report.page.html import player_html
from linesim.report.page.model import PlayerPage
from linesim.report.plain import CAUTIONS, INVENTED, LIMITS
from linesim.report.shared.contents import contents
from linesim.report.shared.samples import Progress, moments_ns, step_s
from linesim.report.story import story
from linesim.report.words import NO_INTERVAL
from linesim.statistics import counted
from linesim.studies import Replicated, WhatHelps
from linesim.version import __version__

MOST_BYTES = 3_000_000
"""What goes through anybody's mail."""
_MOST_STOPS = 9_000
_FIRST = 2
"""Sentences on a stop put in that stand above the run: what stood, and what that cost. A phone
shows little more before what plays."""


class TooLongToShareError(ValueError):
    """A run with more in it than one file of this kind can tell."""


def shared_shift(
    record: Record,
    runs: Replicated | None = None,
    helps: WhatHelps | str = "",
    *,
    disturbance: Disturbance | None = None,
    without: Record | None = None,
    progress: Progress | None = None,
) -> str:
    """A run with history as one HTML file that plays, below 3 MB; the same to the byte each time.

    ``runs`` and ``helps`` are what the paragraph above it tells (see ``story``); of a run with a
    stop put in, ``disturbance`` is told in its place, and ``without``, the same run
    without it, is drawn behind. ``progress`` is told the part that is done,
    0 to 1, and gives it up by False: ``StoppedError``. Raises :class:`TooLongToShareError` where
    one file cannot hold the run, and ``ValueError`` for a record without history.
    """
    events = stop_events(record)
    if len(events) > _MOST_STOPS:
        raise TooLongToShareError(_too_long(record, len(events)))
    at_ns = moments_ns(record, events)
    run = contents(record, events, at_ns, progress, disturbance, without)
    page = PlayerPage(
        name=record.scenario.line.name,
        note=record.scenario.line.note,
        marks=_marks(record),
        told=_told(record, runs, helps, disturbance),
        further=" ".join(disturbance_words(record, disturbance)[_FIRST:]) if disturbance else "",
        put_in=disturbance is not None,
        invented=INVENTED if record.scenario.line.invented else "",
        cautions=CAUTIONS,
        limits=LIMITS,
        covers=tuple(
            _covers(
                record,
                runs if disturbance is None else None,
                len(events),
                without=without is not None,
            )
        ),
    )
    # Letters of ASCII alone: no reader takes them for others.
    html = player_html(page, json.dumps(run, separators=(",", ":")))
    if len(html.encode()) > MOST_BYTES:
        raise TooLongToShareError(_too_long(record, len(events)))
    return html


def _too_long(record: Record, stops: int) -> str:
    return (
        f"{record.hours:,.10g} h with {counted(stops, 'stop')} are more than one file of"
        f" {MOST_BYTES // 1_000_000} MB can hold; share fewer hours"
    )


def _marks(record: Record) -> tuple[str, ...]:
    invented = ("invented data",) if record.scenario.line.invented else ()
    run = f"seed {record.seed}, replication {record.replication}"
    return (*invented, f"{record.hours:,.10g} h", run, f"linesim {__version__}")


def _told(
    record: Record,
    runs: Replicated | None,
    helps: WhatHelps | str,
    disturbance: Disturbance | None,
) -> str:
    if disturbance is not None:
        return " ".join(disturbance_words(record, disturbance)[:_FIRST])
    return "" if runs is None else story(runs, helps).text


def _covers(record: Record, runs: Replicated | None, stops: int, *, without: bool) -> list[str]:
    said = [
        f"What plays is one run (seed {record.seed}, replication {record.replication},"
        f" {record.hours:,.10g} h). Its times and counts are what happened in that run and no"
        " estimates: another run of the same line has others."
    ]
    if runs is not None:
        width = NO_INTERVAL if len(runs.runs) < 2 else f"± is the {100 * runs.level:g} % interval"
        said.append(
            f"The paragraph at the top is about {counted(len(runs.runs), 'run')} of"
            f" {runs.runs[0].hours:,.10g} h with seed {runs.seed}: {width}."
        )
    if without:
        said.append(
            f"The thin line is the same run {WITHOUT_THE_STOP}, with the same random numbers."
        )
    every = "second" if step_s(record) == 1 else f"{step_s(record)} seconds"
    said.append(
        f"So that the file stays small it holds the line at every {every} of the run. What begins"
        " and ends between two of these moments, such as a short wait for a slower station, is"
        f" left out. No stop is: {counted(stops, 'stop')} and whatever waits for one are there"
        " with their own beginning and length, and so are the lowest and highest level of the"
        " bridge."
    )
    said.append(
        "While the transfer comes back empty, its grip is drawn half-way: where it is then no"
        " record tells."
    )
    return said
