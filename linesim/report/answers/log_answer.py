"""A stop log that was fitted, as an answer: words, tables, pictures, and what was written."""

from __future__ import annotations

from pathlib import PurePath

from linesim.plant.into_scenario import FEWEST, Written, write_fits
from linesim.plant.log_fits import LogFits
from linesim.report.answers.answer import Answer
from linesim.report.answers.stop_fits import fit_notes, fit_tables, fit_words
from linesim.scenario import check_text
from linesim.statistics import counted
from linesim.version import __version__


def fit_answer(
    found: LogFits, *, into: str | None = None, into_name: str = ""
) -> tuple[Answer, str | None]:
    """What a log says, and the text *into* of the scenario with the fits written into it.

    *found* goes with the answer; the scenario is the one that it was matched to. The text is None
    where none was given, or nothing could be fitted. Raises :class:`ScenarioFaults` where it would
    not be a scenario.
    """
    log, fits, scenario = found.log, found.fits, found.scenario
    words = fit_words(log, fits, found.matched.planned_words, scenario)
    rewritten = None
    if not fits:
        words.append("No stop can be used, so nothing was fitted.")
    elif into is not None and scenario is not None:
        writing = write_fits(into, scenario, log, fits)
        check_text(writing.text, file=into_name)
        rewritten = writing.text
        words += written_words(writing, into_name)
    answer = Answer(
        "fit-stops",
        scenario.line.name if scenario is not None else PurePath(log.file).name,
        tuple(words),
        fit_tables(log, fits),
        tuple(
            fit_notes(
                fits,
                found.matched.counted,
                found.pace,
                from_reams=any(each.web_km is None for each in found.matched.planned),
            )
        ),
        {
            "log": log.file,
            "seed": found.settings.seed,
            "resamples": found.settings.resamples,
            "version": __version__,
        },
        question="What does the stop log say of each cause?",
        found=found,
    )
    return answer, rewritten


def written_words(writing: Written, name: str) -> list[str]:
    """What was written into the scenario, and what was not."""
    count = len(writing.causes)
    words = [
        f"Written into {name}: {counted(count, 'cause')}, each with a note of where"
        " its figures came from."
    ]
    if writing.left:
        words.append(f"Fewer than {FEWEST} stops, so not written: {', '.join(writing.left)}.")
    return words
