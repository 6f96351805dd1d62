"""The one call for a run, by whichever engine can make it sooner: the record is the same.

The SimPy line in ``linesim/line`` says what is right. The compiled engine makes summary runs of
the scenarios it covers; all others, and all runs with a history, are the SimPy line's.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from typing import Any, Literal, get_args

from linesim import line
from linesim.fast import kept_engine
from linesim.fast.coverage import reasons_not_covered
from linesim.record import Record
from linesim.scenario import ForcedStop, Scenario

Engine = Literal["auto", "simpy", "compiled"]
VARIABLE = "LINESIM_ENGINE"
"""Environment variable that says ``simpy`` or ``compiled`` where nobody says it in a call."""


class NoCompiledEngineError(RuntimeError):
    """The compiled engine was asked for by name and cannot make this run."""


def simulate(
    scenario: Scenario,
    *,
    seed: int = 1,
    replication: int = 0,
    hours: float | None = None,
    warm_up_h: float = 0.0,
    history: bool = True,
    forced: Sequence[ForcedStop] = (),
    buckets: int = 0,
    progress: Callable[[float], bool] | None = None,
    engine: Engine = "auto",
) -> Record:
    """Run a line for ``hours`` (a shift, unless given) after ``warm_up_h`` that are not counted.

    The same scenario, seed and replication give the same record to the byte, whatever the engine;
    runs of other scenarios with the same seed and replication meet the same luck. Without
    ``history`` the record keeps sums only, in memory that does not grow with time. ``forced``
    stops come on top of the scenario's own. ``buckets``: good reams in so many equal parts of the
    counted time. ``progress`` hears the fraction done; where it answers False the run ends, and
    the record covers what was run.

    ``engine`` is left to the program (``auto``): summary runs go to the compiled engine where it
    covers the scenario and has been made on this machine, all others to the SimPy line.

    Raises ``ValueError`` for hours that are not above 0 or a forced stop at no known station, and
    :class:`NoCompiledEngineError` where ``compiled`` is asked for and cannot be had.
    """
    engine = chosen(engine)
    told = None
    if engine != "simpy" and not history:
        told = kept_engine.ready()
    if engine == "compiled":
        _must_be_able(scenario, history, made=told is not None)
    asked: dict[str, Any] = {
        "seed": seed,
        "replication": replication,
        "hours": hours,
        "warm_up_h": warm_up_h,
        "forced": forced,
        "buckets": buckets,
        "progress": progress,
    }
    if told is not None and not reasons_not_covered(scenario):
        from linesim.fast.compiled_run import simulate_compiled
        from linesim.fast.feeding import GivenUpError

        try:
            return simulate_compiled(told, scenario, **asked)
        except GivenUpError as error:
            if engine == "compiled":
                raise NoCompiledEngineError(
                    f"the compiled engine gave the run up: {error}"
                ) from None
    return line.simulate(scenario, history=history, **asked)


def chosen(engine: Engine = "auto") -> Engine:
    """The engine asked for: in the call, else in the environment, else ``auto``."""
    said = os.environ.get(VARIABLE, "")
    if engine == "auto" and said in get_args(Engine):
        return said  # type: ignore[return-value]
    return engine


def _must_be_able(scenario: Scenario, history: bool, *, made: bool) -> None:
    reasons = list(reasons_not_covered(scenario))
    if history:
        reasons.append("a run with a history: only the SimPy line keeps one")
    if not made:
        reasons.append("it has not been made on this machine")
    if reasons:
        raise NoCompiledEngineError(
            "the compiled engine cannot make this run: " + "; ".join(reasons)
        )
