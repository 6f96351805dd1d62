"""The one call for a run, compiled or interpreted: the record is the same to the byte."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from functools import partial
from typing import Literal, get_args

from linesim import line
from linesim.fast import kept_engine
from linesim.record import Record
from linesim.scenario import ForcedStop, LineState, Scenario

Engine = Literal["auto", "interpreted", "compiled"]
VARIABLE = "LINESIM_ENGINE"
"""Environment variable that says ``interpreted`` or ``compiled`` where nobody says it in a call."""


class NoCompiledEngineError(RuntimeError):
    """The compiled engine was asked for by name and has not been made on this machine."""


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
    state: LineState | None = None,
) -> Record:
    """Run a line for ``hours`` (a shift, unless given) after ``warm_up_h`` that are not counted.

    The same scenario, seed and replication give the same record to the byte, whatever the engine;
    runs of other scenarios with the same seed and replication meet the same luck. Without
    ``history`` the record keeps sums only, in memory that does not grow with time. ``forced``
    stops come on top of the scenario's own. ``buckets``: good reams in so many equal parts of the
    counted time. ``progress`` hears the fraction done; where it answers False the run ends, and
    the record covers what was run. From a ``state`` there is no run-in: the run begins at its
    moment, and what it does not tell is drawn as such a line is found.

    ``engine`` is left to the program (``auto``): runs are compiled where the compiled engine has
    been made on this machine, else Python interprets the same rules.

    Raises ``ValueError`` for hours that are not above 0 or a forced stop at no known station,
    :class:`RunGivenUpError` for a run that needs more room than it was given, and
    :class:`NoCompiledEngineError` where ``compiled`` is asked for and cannot be had.
    """
    return line.simulate(
        scenario,
        seed=seed,
        replication=replication,
        hours=hours,
        warm_up_h=warm_up_h,
        history=history,
        forced=forced,
        buckets=buckets,
        progress=progress,
        run_by=_way_to_run(engine),
        state=state,
    )


def state_after(
    scenario: Scenario,
    moment: str,
    *,
    seed: int = 1,
    replication: int = 0,
    hours: float = 8.0,
    engine: Engine = "auto",
) -> LineState:
    """The state in which a run is after ``hours``, as a file says it of the ``moment``.

    A date and time; the run it is of began that many hours before.
    """
    return line.state_after(
        scenario,
        moment,
        seed=seed,
        replication=replication,
        hours=hours,
        run_by=_way_to_run(engine),
    )


def _way_to_run(engine: Engine) -> Callable[..., line.Run]:
    engine = chosen(engine)
    made = kept_engine.ready() if engine != "interpreted" else None
    if made is not None:
        from linesim.fast.compiled import Compiled

        return partial(Compiled, made)
    if engine == "compiled":
        raise NoCompiledEngineError("the compiled engine has not been made on this machine")
    return line.Interpreted


def chosen(engine: Engine = "auto") -> Engine:
    """The engine asked for: in the call, else in the environment, else ``auto``."""
    said = os.environ.get(VARIABLE, "")
    if engine == "auto" and said in get_args(Engine):
        return said  # type: ignore[return-value]
    return engine
