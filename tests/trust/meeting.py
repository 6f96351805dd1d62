"""How the program meets a file of each kind: all doors through which such a file comes in.

Each function answers "accepted" or "refused"; any error that is not one of the project's own, and
any door that disagrees with another, is raised.
"""

from __future__ import annotations

import contextlib
import io
import random
import tempfile
import time
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import linesim
from gui.document import Document
from linesim.commands.main import main as command
from linesim.plant.production import read_counts
from linesim.questions.from_file import answer_from_file
from linesim.questions.study_files import study_file_for
from linesim.scenario import dump
from linesim.studies.study_file import StudyFileError
from tests.plant.logs import read_stop_log
from tests.trust.broken_studies import scenarios_asked
from tests.trust.broken_toml import NUMBERS
from tests.trust.watching import next_door

RUN_H = 0.02
_RUN_CPU_S = 0.1
_WINDOW_TOO = 0.1
"""Share of the scenarios that are opened and edited in the window's document, too."""
_COMMAND_TOO = 0.1
"""Share of the accepted tables that are fitted, too; fitting one takes a second."""
_LONG = 100_000
_SETTABLE = ("bridge.places", "crew.size", "stop[0].people", "wrapper[0].name", "line.note")


def meet_scenario(chance: random.Random, path: Path) -> str:
    """Reading, the window's document, ``linesim check``; and a run, where it is accepted."""
    scenario, found = None, "accepted"
    try:
        scenario = linesim.scenario.load(path)
    except linesim.scenario.ScenarioFaults as error:
        found = "refused"
        _check_faults(error)
    code = typed("check", str(path))
    assert code == (0 if scenario is not None else 2), f"check exits with {code}, {found}"
    if chance.random() < _WINDOW_TOO:
        _edit(chance, path, scenario)
    if scenario is not None:
        _run(scenario)
    return found


def meet_lesson(_: random.Random, path: Path) -> str:
    """Reading, and the page of lessons."""
    try:
        linesim.lessons.load_lesson(path)
    except linesim.scenario.ScenarioFaults as error:
        _check_faults(error)
        found = "refused"
    else:
        found = "accepted"
    page = _lessons_page()
    known = page.chooser.count()
    assert page.add(path) == (found == "accepted"), "the page of lessons disagrees"
    if found == "accepted":
        page.chooser.setCurrentIndex(known)
        page.chooser.setCurrentIndex(0)
        page.chooser.removeItem(known)
        page.course.attempts.pop()
    return found


def meet_log(chance: random.Random, path: Path) -> str:
    """Reading, and ``linesim fit-stops``."""
    try:
        log = read_stop_log(path)
    except linesim.scenario.ScenarioFaults as error:
        _check_faults(error)
        return _refused_by("fit-stops", str(path))
    assert log.rows == len(log.stops) + len(log.left_out)
    if chance.random() > _COMMAND_TOO:
        return "accepted"
    into = ("--for", "short-bridge") if chance.random() < 0.5 else ()
    days = ("--hours-per-day", "16") if chance.random() < 0.5 else ()
    code = typed("fit-stops", str(path), "--resamples", "20", *into, *days)
    assert code in (0, 2), f"fit-stops exits with {code}"
    return "accepted"


def meet_production(chance: random.Random, path: Path) -> str:
    """Reading, and ``linesim fit-stops --production``."""
    asked = ("fit-stops", str(_short_log()), "--production", str(path), "--resamples", "20")
    try:
        counts = read_counts(path).shifts
    except linesim.scenario.ScenarioFaults as error:
        _check_faults(error)
        return _refused_by(*asked)
    assert all(a.start < a.end <= b.start for a, b in pairwise(counts))
    if chance.random() <= _COMMAND_TOO:
        code = typed(*asked)
        assert code in (0, 2), f"fit-stops exits with {code}"
    return "accepted"


def meet_study(_: random.Random, path: Path) -> str:
    """The answer from the file, and the file as the place for a study of some scenario."""
    found, why = "accepted", ""
    try:
        answer_from_file(path)
    except StudyFileError as error:
        found, why = "refused", str(error).removeprefix(str(path))
    except OSError as error:
        found, why = "refused", error.strerror or ""
    if found == "refused":
        assert why.strip(" :"), "refused without a reason"
        code = typed("report", "short-bridge", "--study", str(path), "-o", "/dev/null/x.html")
        assert code == 2, f"report exits with {code}"
    elif path.is_file():
        with contextlib.suppress(StudyFileError):
            # A file that would be gone on with is written to; whether it may be is asked first.
            study_file_for(path, scenarios_asked(False)).close()
    return found


MEETINGS = {
    "scenario": meet_scenario,
    "stop log": meet_log,
    "production": meet_production,
    "study": meet_study,
    "lesson": meet_lesson,
}


def typed(*words: str) -> int:
    """What the command typed so exits with; a traceback or a fault of the program is raised."""
    if any("\x00" in word for word in words):
        return 2  # no system lets such a word be typed
    next_door()
    streams = [io.TextIOWrapper(io.BytesIO(), encoding="utf-8") for _ in range(2)]
    code: Any = 0
    with contextlib.redirect_stdout(streams[0]), contextlib.redirect_stderr(streams[1]):
        try:
            command.main(args=list(words), prog_name="linesim")
        except SystemExit as end:
            code = end.code or 0
    texts = []
    for stream in streams:
        stream.flush()
        texts.append(stream.buffer.getvalue().decode())
    said = "\n".join(texts)
    if "Traceback" in said or "a fault of the program" in said:
        raise AssertionError(f"{words[0]} says: {said[-250:]}")
    assert said.strip(), f"{words[0]} exits with {code} and says nothing"
    return int(code)


@lru_cache(maxsize=1)
def _short_log() -> Path:
    whole = Path(__file__).parents[2] / "scenarios" / "plant" / "stop-log.csv"
    short = Path(tempfile.mkdtemp()) / "log.csv"
    short.write_bytes(b"\n".join(whole.read_bytes().splitlines()[:40]))
    return short


def _refused_by(*words: str) -> str:
    code = typed(*words)
    assert code == 2, f"{words[0]} exits with {code}, but reading refuses the file"
    return "refused"


def _check_faults(error: linesim.scenario.ScenarioFaults) -> None:
    assert error.faults, "refused without a reason"
    for fault in error.faults:
        assert fault.problem, f"a fault without words: {fault!r}"
        assert len(fault.problem) < 1000, f"a fault of {len(fault.problem)} characters"


def _edit(chance: random.Random, path: Path, scenario: linesim.scenario.Scenario | None) -> None:
    """Open it in the window's document, set fields, go back: the text must be what it was."""
    next_door()
    document = Document()
    try:
        document.open(path)
    except linesim.scenario.ScenarioFaults:
        assert scenario is None, "the window cannot open what is read elsewhere"
        return
    assert document.scenario == scenario, "the window reads another scenario"
    before = document.text
    if len(before) > _LONG:
        return
    for field in chance.sample(_SETTABLE, 1):
        document.value(field)
        document.default(field)
        document.differs(field)
        document.set_field(field, chance.choice((5, -1, "x", None, 1e300, [1], {"a": 1})))
        document.end_step()
    document.set_text(before + f"\nx = {chance.choice(NUMBERS)}\n")
    while document.can_undo:
        document.undo()
    assert document.text == before, "undo does not lead back"
    assert not document.dirty


def _run(scenario: linesim.scenario.Scenario) -> None:
    next_door()
    assert linesim.scenario.check_text(dump(scenario)) == scenario, (
        "reads another scenario than it wrote"
    )
    begun = time.process_time()
    record = linesim.fast.simulate(
        scenario,
        hours=min(RUN_H, scenario.line.shift_hours),
        progress=lambda _: time.process_time() - begun < _RUN_CPU_S,
    )
    wrong = [fault for check in linesim.record.audit(record) for fault in check.faults]
    assert not wrong, f"the books of an accepted scenario: {wrong[0]}"


_PAGES: list[Any] = []


def _lessons_page() -> Any:
    if not _PAGES:
        from PySide6.QtWidgets import QApplication

        from gui.lessons.page import LessonsPage
        from gui.workers import WorkerPool

        app = QApplication.instance() or QApplication(["fuzz"])
        pool = WorkerPool()
        _PAGES.extend((LessonsPage(pool), pool, app))
    return _PAGES[0]
