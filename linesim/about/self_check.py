"""Whether this machine gives the figures that it should: a few short runs, by both engines.

Every figure of each run goes into a digest, with what its audit found. The digests that are right
are kept beside this, and the two engines must agree with them and with each other.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, replace
from pathlib import Path

from linesim.fast import Engine, NoCompiledEngineError, simulate
from linesim.files import write_text
from linesim.scenario import load, shipped_scenarios
from linesim.studies.active_periods import active_shares
from linesim.studies.figures import figures_of

_KNOWN = Path(__file__).with_name("known_digests.json")
_HOURS = 1.0
_DIGITS = 16


@dataclass(frozen=True)
class SelfCheck:
    """``interpreted`` and ``compiled`` name the demo lines whose figures are not as known.

    ``compiled`` is None where the compiled engine is not there to be tried; ``unlike`` are those
    in which the engines differ.
    """

    lines: int
    """How many were run."""
    interpreted: tuple[str, ...]
    compiled: tuple[str, ...] | None
    unlike: tuple[str, ...]

    @property
    def passed(self) -> bool:
        """Whether all that could be tried is as it should be."""
        return not (self.interpreted or self.compiled or self.unlike)


def self_check() -> SelfCheck:
    """Run each demo line for an hour, by Python and by compiled code where that is there."""
    known = json.loads(_KNOWN.read_text(encoding="utf-8"))
    by_python = digests("interpreted")
    try:
        compiled = digests("compiled")
    except NoCompiledEngineError:
        compiled = None
    return SelfCheck(
        lines=len(by_python),
        interpreted=_differing(by_python, known),
        compiled=None if compiled is None else _differing(compiled, known),
        unlike=() if compiled is None else _differing(compiled, by_python),
    )


def digests(engine: Engine) -> dict[str, str]:
    """A digest of the figures of each demo line. Raises as :func:`linesim.simulate`."""
    return {name: _digest_of(engine, path) for name, path in sorted(shipped_scenarios().items())}


def keep(found: dict[str, str]) -> None:
    """These are the digests that are right, from now on."""
    write_text(_KNOWN, json.dumps(found, indent=2, sort_keys=True) + "\n")


def _digest_of(engine: Engine, path: Path) -> str:
    record = simulate(load(path), hours=_HOURS, engine=engine)
    found = replace(figures_of(record, check=True), active_shares=active_shares(record))
    return hashlib.sha256(found.text().encode()).hexdigest()[:_DIGITS]


def _differing(found: dict[str, str], right: dict[str, str]) -> tuple[str, ...]:
    return tuple(name for name in sorted({*found, *right}) if found.get(name) != right.get(name))
