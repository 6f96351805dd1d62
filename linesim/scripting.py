"""What scripts and notebooks call: a line in, a result out, in one call each."""

from __future__ import annotations

import inspect
import os
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from linesim.questions.catalogue import STUDIES

if TYPE_CHECKING:
    from linesim.plant.log_fits import FitSettings
    from linesim.plant.log_settings import LogSettings
    from linesim.questions.study import Study
    from linesim.report import Story
    from linesim.report.answers import Answer
    from linesim.report.page import ReportPage
    from linesim.scenario import Scenario
    from linesim.studies.progress import Progress

File = str | os.PathLike[str]


def load(file: File) -> Scenario:
    """The line of a scenario file, or of a demo by its name, such as ``short-bridge``.

    Raises :class:`ScenarioFaults` with every fault of it.
    """
    from linesim.scenario import find_scenario
    from linesim.scenario import load as load_file

    return load_file(find_scenario(file))


def check(line: str | Mapping[str, Any]) -> Scenario:
    """The line that a text in TOML or a mapping of tables describes; fields left out are usual.

    Raises :class:`ScenarioFaults` with every fault.

    >>> check({"slitter": {"lanes": 4}}).set_reams
    4
    """
    from linesim.scenario import check_mapping, check_text

    return check_text(line) if isinstance(line, str) else check_mapping(line)


def save(scenario: Scenario, file: File) -> None:
    """Write the line as a scenario file; what was there is replaced as a whole or not at all.

    Raises ``OSError`` where it cannot be written.
    """
    from linesim.files import write_text
    from linesim.scenario import dump

    write_text(Path(file), dump(scenario))


class AskedStudy:
    """A study to be called; its ``help`` says its options, as its command and its page do."""

    def __init__(self, name: str) -> None:
        self.declared: Study = STUDIES[name]
        self.__name__ = name.replace("-", "_")
        options = self.declared.options.declared().values()
        lines = (f"{each.name}: {each.help} [{each.default!r} {each.unit}]" for each in options)
        self.__doc__ = "\n".join(
            [f"{self.declared.title}.", "", self.declared.description, "", *lines]
        )
        call = inspect.signature(type(self).__call__)
        fixed = list(call.parameters.values())[1:-1]
        own = (
            inspect.Parameter(each.name, inspect.Parameter.KEYWORD_ONLY, default=each.default)
            for each in options
        )
        self.__signature__ = call.replace(parameters=[*fixed, *own])

    def __call__(
        self,
        *scenarios: Scenario,
        hours: float = 168.0,
        replications: int | None = None,
        seed: int = 1,
        processes: int | None = None,
        long_run: bool = False,
        keep: File | None = None,
        progress: Callable[[Progress], None] | None = None,
        **options: Any,
    ) -> Answer:
        """Make the runs and answer.

        ``replications`` runs of so many ``hours`` for each variant, on so many ``processes`` (as
        many as it is worth, unless given; the answer is the same). ``long_run`` leaves the start of
        each run out. Finished runs are kept in the file ``keep`` and taken from it. ``options`` are
        the study's own. Raises ``ValueError`` for what cannot be asked of this line,
        ``StudyFileError`` for a file that cannot be used, and ``KeyboardInterrupt`` where it was
        stopped before anything can be said; stopped later, it answers from the runs made.
        """
        from linesim.questions import Question, ask
        from linesim.studies.runner import Settings

        settings = Settings(
            replications=replications or self.declared.replications,
            seed=seed,
            hours=hours,
            processes=processes,
        )
        by_name = {scenario.line.name: scenario for scenario in scenarios}
        if len(by_name) < len(scenarios):
            by_name = {
                f"{number} {scenario.line.name}": scenario
                for number, scenario in enumerate(scenarios, 1)
            }
        return ask(
            Question(self.declared.name, options),
            by_name,
            settings,
            long_run=long_run,
            file=None if keep is None else Path(keep),
            progress=progress,
        )


size_bridge = AskedStudy("size-bridge")
size_buffers = AskedStudy("size-buffers")
add_wrapper = AskedStudy("add-wrapper")
meet_target = AskedStudy("meet-target")
what_to_change = AskedStudy("what-to-change")
rank_stops = AskedStudy("rank-stops")
plan_changes = AskedStudy("plan-changes")
what_holds = AskedStudy("what-holds")
vary = AskedStudy("vary")
compare = AskedStudy("compare")
plan_orders = AskedStudy("plan-orders")
forecast = AskedStudy("forecast")
validate = AskedStudy("validate")


def fit_stops(
    log: File | Sequence[File],
    scenario: Scenario | None = None,
    *,
    reading: LogSettings | None = None,
    settings: FitSettings | None = None,
) -> Answer:
    """What a stop log, or several together, say of each cause; ``found`` are the fits themselves.

    Causes are matched to those of ``scenario``, if there is one. ``reading`` says how the file is
    to be understood where it does not say so itself, ``settings`` when the line was meant to run.
    Raises :class:`ScenarioFaults` for a file that cannot be read.
    """
    from linesim.plant.log_fits import FitSettings, fit_log
    from linesim.plant.several_logs import open_logs
    from linesim.report.answers.stop_fits import fit_answer

    settings = settings or FitSettings()
    logs = [log] if isinstance(log, str | os.PathLike) else log
    read = open_logs(
        [Path(each) for each in logs], reading, since=settings.since, until=settings.until
    )
    fits = fit_log(read, scenario, settings)
    return fit_answer(fits)[0]


def story(
    scenario: Scenario,
    *,
    hours: float | None = None,
    replications: int = 10,
    seed: int = 1,
    processes: int | None = None,
    levers: bool = True,
) -> Story:
    """What the line makes, what it loses and to what, what holds it and what would help most.

    ``text`` of it is the paragraph that ``linesim run`` begins with; its losses are good reams of a
    run of so many ``hours`` (one shift unless given). Without ``levers`` it does not say what would
    help, which saves a second or so.
    """
    from linesim.report import story as told
    from linesim.studies import replicate, what_helps

    result = replicate(
        scenario, replications=replications, seed=seed, hours=hours, processes=processes
    )
    return told(result, what_helps(result) if levers else "")


def write_report(
    scenario: Scenario,
    file: File | None = None,
    *,
    answers: Sequence[Answer] = (),
    question: str | None = None,
    hours: float | None = None,
    replications: int = 20,
    seed: int = 1,
    processes: int | None = None,
    appendix: bool = False,
) -> ReportPage:
    """The report on a line, with the answers of studies of it; written to ``file`` if named.

    A file that ends in ``.pdf`` is written as PDF, else as HTML. ``hours`` of each of the
    ``replications`` are one shift unless given. Page one is about the first answer; every input and
    all tables are in the ``appendix``. Raises ``PageRefusedError`` for an answer of
    another line, ``OSError`` where it cannot be written.
    """
    from linesim.files import write_bytes
    from linesim.report.page import report_page
    from linesim.studies import replicate

    result = replicate(
        scenario, replications=replications, seed=seed, hours=hours, processes=processes
    )
    page = report_page(scenario, result, answers, question=question, appendix=appendix)
    if file is not None:
        path = Path(file)
        write_bytes(path, page.pdf() if path.suffix.lower() == ".pdf" else page.html().encode())
    return page
