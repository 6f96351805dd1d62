"""Ends a process by force at every single step it takes with a user's files.

    python tests/trust/kill_points.py [ACT...]

Each act (a save, an export, an import) is begun again and again in a forked copy of this process;
the first copy is killed before its first step with a file in the user's folder, the next before
its second, and so on, until a copy comes through. After each kill every file must be whole, the
old one or the new one. Prints how many kills each act stood; ends with 1 where one did not.
"""

from __future__ import annotations

import os
import shutil
import signal
import sys
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import linesim
from gui.document import Autosave, Document, recoverable
from linesim.commands import main as linesim_command
from linesim.report.as_json import json_text
from linesim.report.csv_folder import write_folder

_STEPS = {"open", "os.rename", "os.remove", "os.chmod", "os.mkdir", "os.truncate"}
_FEWEST_STEPS, _MOST_STEPS = 3, 400


@dataclass(frozen=True)
class Act:
    """Something done with files of the user's in ``folder``."""

    name: str
    folder: Path
    do: Callable[[], object]
    whole: Callable[[Path], bool] = lambda path: True
    """Whether a file can be read again by the program that reads it."""
    exact: bool = True
    """Whether doing it twice gives the same bytes."""


def kills_stood(act: Act) -> tuple[int, list[str]]:
    """How many kills the act was given, and in words which files were not whole after one."""
    old = contents(act.folder)
    _begin(act, None)
    new = contents(act.folder)
    faults: list[str] = []
    for step in range(1, _MOST_STEPS):
        _put_back(act.folder, old)
        came_through = _begin(act, step)
        for name, found in contents(act.folder).items():
            if name not in old and name not in new:
                # A part that was being written beside it: hidden, and nobody's file.
                if not Path(name).name.startswith("."):
                    faults.append(f"{act.name}, step {step}: {name} is a new file of nobody's")
            elif act.exact and found not in (old.get(name), new.get(name)):
                faults.append(f"{act.name}, step {step}: {name} is neither old nor new")
            elif not act.whole(act.folder / name):
                faults.append(f"{act.name}, step {step}: {name} cannot be read")
        for name in old.keys() - contents(act.folder).keys():
            faults.append(f"{act.name}, step {step}: {name} is gone")
        if came_through:
            return step - 1, faults
    raise AssertionError(f"{act.name} never comes to its end")


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder by its name in it."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def _put_back(folder: Path, files: Mapping[str, bytes]) -> None:
    shutil.rmtree(folder)
    folder.mkdir()
    for name, data in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)


def _begin(act: Act, step: int | None) -> bool:
    """Do it in a copy of this process, killed before a step; True where it came through."""
    child = os.fork()
    if child == 0:
        code = 1
        try:
            if step is not None:
                _kill_before(step, act.folder)
            act.do()
            code = 0
        finally:
            os._exit(code)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL:
        return False
    if status != 0:
        raise AssertionError(f"{act.name} failed of itself: {status}")
    return True


def _kill_before(step: int, folder: Path) -> None:
    left = step
    inside = os.fsencode(folder) + b"/"

    def hook(event: str, arguments: tuple[Any, ...]) -> None:
        nonlocal left
        if event not in _STEPS:
            return
        names = [os.fsencode(a) for a in arguments if isinstance(a, str | bytes | os.PathLike)]
        if any(name.startswith(inside) for name in names):
            left -= 1
            if left == 0:
                os.kill(os.getpid(), signal.SIGKILL)

    sys.addaudithook(hook)
    # What is written is on the disk by then, but not yet under its name.
    bring_to_disk = os.fsync

    def fsync(handle: Any) -> None:
        hook("open", (os.fspath(folder / "fsync"),))
        bring_to_disk(handle)

    os.fsync = fsync  # type: ignore[assignment]


@cache
def _line() -> tuple[str, linesim.scenario.Scenario]:
    demo = linesim.scenario.find_scenario("short-bridge").read_text("utf-8")
    # The size as places alone, as they are set below: a length beside them would have to agree.
    text = linesim.scenario.update(demo, {"bridge.length_m": None, "bridge.places": 21})
    return text, linesim.scenario.check_text(text, file="line")


@cache
def _result(seed: int) -> linesim.studies.Replicated:
    return linesim.studies.replicate(_line()[1], replications=2, seed=seed, hours=0.2)


def _reads(path: Path) -> bool:
    return path.suffix != ".toml" or bool(linesim.scenario.load(path))


def _save(folder: Path) -> Act:
    file = folder / "line.toml"
    file.write_text(_line()[0], "utf-8")

    def do() -> None:
        document = Document()
        document.open(file)
        document.set_field("bridge.places", 77)
        document.save()

    return Act("save", folder, do, _reads)


def _unsaved_work(folder: Path) -> Act:
    file = folder / "copy.json"

    def do(places: int = 77) -> Autosave:
        document = Document()
        document.new(_line()[0])
        document.set_field("bridge.places", places)
        keeper = Autosave(document, folder, after_s=60)
        keeper.file = file
        keeper.write_now()
        return keeper

    owner = do(66)._owner
    assert owner is not None
    owner.release()

    def is_offered(path: Path) -> bool:
        texts = {work.file: work.text for work in recoverable(folder)}
        return path != file or "places = 66" in texts[file] or "places = 77" in texts[file]

    # A copy says when it was written, so that no two are the same.
    return Act("unsaved work", folder, do, is_offered, exact=False)


def _csv(folder: Path) -> Act:
    old, new = (linesim.simulate(_line()[1], seed=seed, hours=0.2) for seed in (1, 2))
    write_folder(folder, old)
    return Act("csv", folder, lambda: write_folder(folder, new))


def _json(folder: Path) -> Act:
    return _written("json", folder / "run.json", lambda result: json_text(result).encode())


def _html(folder: Path) -> Act:
    return _written("html", folder / "report.html", lambda result: _page(result).html().encode())


def _pdf(folder: Path) -> Act:
    return _written("pdf", folder / "report.pdf", lambda result: _page(result).pdf())


def _page(result: linesim.studies.Replicated) -> linesim.report.ReportPage:
    text, scenario = _line()
    return linesim.report.report_page(scenario, result, [], text=text)


def _written(name: str, path: Path, made: Callable[[linesim.studies.Replicated], bytes]) -> Act:
    new = made(_result(2))
    path.write_bytes(made(_result(1)))
    return Act(name, path.parent, lambda: linesim.files.write_bytes(path, new))


def _import(folder: Path) -> Act:
    (folder / "line.toml").write_text(_line()[0], "utf-8")
    rows = [f"2026-03-{day:02} 10:00;{5 + day % 7};wrapper jam" for day in range(1, 29)]
    (folder / "log.csv").write_text("start;minutes;cause\n" + "\n".join(rows) + "\n", "utf-8")
    words = ["fit-stops", str(folder / "log.csv"), "--into", str(folder / "line.toml")]

    def do() -> None:
        sys.stdout = open(os.devnull, "w")  # noqa: SIM115 - the process ends with it
        linesim_command([*words, "--resamples", "20"], standalone_mode=False)

    return Act("import", folder, do, _reads)


ACTS: dict[str, Callable[[Path], Act]] = {
    "save": _save,
    "unsaved-work": _unsaved_work,
    "csv": _csv,
    "json": _json,
    "html": _html,
    "pdf": _pdf,
    "import": _import,
}


def main() -> int:
    """Every act, or those named, and what became of its files."""
    failed = 0
    for name in sys.argv[1:] or ACTS:
        with tempfile.TemporaryDirectory() as folder:
            act = ACTS[name](Path(folder).resolve())
            kills, faults = kills_stood(act)
        print(f"{act.name}: {kills} kills, {len(faults)} faults", flush=True)
        failed += bool(faults) or kills < _FEWEST_STEPS
        for fault in faults[:5]:
            print(f"  {fault}")
    return int(failed > 0)


if __name__ == "__main__":
    sys.exit(main())
