"""One run of a study as data: small enough to send to another process or another machine."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from pathlib import Path

from linesim.fast import simulate
from linesim.scenario import LineState, Scenario
from linesim.studies.active_periods import active_shares
from linesim.studies.ahead import Ahead, ahead_of
from linesim.studies.figures import RunFigures, figures_of
from linesim.studies.outcome import Foreseen, Outcome, outcome_of

_WHAT_DECIDES_A_RUN = (
    "files.py",
    "folders.py",
    "platforms.py",
    "interactive.py",
    "interrupts.py",
    "limits.py",
    "line",
    "fast",
    "record",
    "scenario",
    "paper",
    "statistics",
    "studies/figures.py",
    "studies/lost_for.py",
    "studies/outcome.py",
    "studies/parts_used.py",
    "studies/active_periods.py",
    "studies/ahead.py",
    "studies/waiting.py",
    "studies/run_spec.py",
)
"""Modules, and folders with all that lies in them."""


class OtherProgramError(RuntimeError):
    """A worker has another version of the program than the study that sent it the run."""


@dataclass(frozen=True)
class RunSpec:
    """A run to be made. ``scenario`` is JSON of what decides a run: no names, no money.

    ``hours`` counts after ``warm_up_h``. ``buckets`` asks for good reams in equal parts of the
    counted time, ``active_periods`` for the longest active periods (it keeps the run's history),
    ``report`` for all figures, a :class:`RunFigures`, and ``check`` for an audit with them.
    """

    scenario: str
    seed: int
    replication: int
    hours: float
    warm_up_h: float = 0.0
    buckets: int = 0
    active_periods: bool = False
    report: bool = False
    check: bool = False
    program: str = ""
    plant: int = 0
    state: str = ""
    """JSON of the state that the run starts from; empty: as its scenario says. Its outcome is then
    an :class:`Ahead`."""
    foreseen: Foreseen | None = None
    """Which plant ``scenario`` is of, and what is foreseen of it, as in :class:`Outcome`."""

    @property
    def key(self) -> str:
        """Digest of everything the result depends on."""
        parts = [str(getattr(self, f.name)) for f in fields(self)]
        return hashlib.sha256("\x1f".join(parts).encode()).hexdigest()

    def read(self, text: str) -> Outcome:
        """What :func:`make_run` wrote of this spec. Raises ``ValueError`` for anything else."""
        kind = Ahead if self.state else RunFigures if self.report else Outcome
        return kind.from_text(text)


def spec_of(
    scenario: Scenario,
    *,
    seed: int,
    replication: int,
    hours: float,
    warm_up_h: float = 0.0,
    buckets: int = 0,
    active_periods: bool = False,
    report: bool = False,
    check: bool = False,
    state: str = "",
) -> RunSpec:
    """The spec that runs ``scenario``; two scenarios that run alike give the same spec."""
    return RunSpec(
        scenario_text(scenario),
        seed,
        replication,
        float(hours),
        float(warm_up_h),
        buckets,
        active_periods,
        report,
        check,
        program_digest(),
        state=state,
    )


def scenario_text(scenario: Scenario) -> str:
    """What decides a run, as JSON: the scenario without its names, notes, money and levers."""
    data = scenario.model_dump(mode="json", by_alias=True)
    for name in ("money", "levers"):
        data.pop(name)
    for name in ("name", "note", "invented"):
        data["line"].pop(name)
    return json.dumps(data, sort_keys=True, separators=(",", ":"), allow_nan=False)


def scenario_digest(scenario: Scenario) -> str:
    """Digest by which a study file knows its scenario."""
    return hashlib.sha256(scenario_text(scenario).encode()).hexdigest()


def make_run(spec: RunSpec, progress: Callable[[float], bool] | None = None) -> str:
    """Make the run; the result is the text of its :class:`Outcome`, the same wherever it ran.

    ``progress`` is told of the part of the run that is over, 0 to 1.
    Raises :class:`OtherProgramError` where this program is not the one that made the spec.
    """
    if spec.program != program_digest():
        raise OtherProgramError(
            "a worker runs another version of linesim than this one; install the same on both"
        )
    scenario = scenario_of(spec)
    state = LineState.model_validate_json(spec.state) if spec.state else None
    record = simulate(
        scenario,
        seed=spec.seed,
        replication=spec.replication,
        hours=spec.hours,
        warm_up_h=spec.warm_up_h,
        history=spec.active_periods or spec.check or state is not None,
        buckets=spec.buckets,
        progress=progress,
        state=state,
    )
    if state is not None:
        found: Outcome = ahead_of(record, state)
    else:
        found = figures_of(record, check=spec.check) if spec.report else outcome_of(record)
    if spec.active_periods:
        found = replace(found, active_shares=active_shares(record))
    return replace(found, plant=spec.plant, foreseen=spec.foreseen).text()


def scenario_of(spec: RunSpec) -> Scenario:
    """The scenario of a spec; those of the last specs are kept, since most specs share theirs."""
    return _scenario(spec.scenario)


@lru_cache(maxsize=64)
def _scenario(text: str) -> Scenario:
    return Scenario.model_validate_json(text)


@lru_cache(maxsize=1)
def program_digest() -> str:
    """Digest of the modules that decide a run, so that old results are never taken for new."""
    return digest_of_package(Path(__file__).resolve().parent.parent)


def digest_of_package(package: Path) -> str:
    """The same of a copy of this package."""
    digest = hashlib.sha256()
    for file in modules_that_decide_a_run(package):
        digest.update(f"{file.relative_to(package).as_posix()}\x1f".encode())
        digest.update(file.read_bytes().replace(b"\r\n", b"\n"))
    return digest.hexdigest()


def modules_that_decide_a_run(package: Path) -> list[Path]:
    """Every module that can change a figure of a run, at any depth."""
    found: list[Path] = []
    for name in _WHAT_DECIDES_A_RUN:
        place = package / name
        found += sorted(place.rglob("*.py")) if place.is_dir() else [place]
    return found
