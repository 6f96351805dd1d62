"""What a sheeting-and-wrapping line really delivers, and why.

The public face. Names are fetched when first used, so that ``import linesim`` costs nothing.

>>> import linesim
>>> scenario = linesim.check_mapping({"slitter": {"lanes": 4}})
>>> scenario.set_reams
4
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from linesim.version import __version__

if TYPE_CHECKING:
    from linesim.line.simulate import simulate as simulate
    from linesim.record import Record as Record
    from linesim.record import State as State
    from linesim.record.effectiveness import Effectiveness as Effectiveness
    from linesim.record.effectiveness import line_effectiveness as line_effectiveness
    from linesim.record.effectiveness import station_effectiveness as station_effectiveness
    from linesim.scenario import ForcedStop as ForcedStop
    from linesim.scenario import Scenario as Scenario
    from linesim.scenario import ScenarioFaults as ScenarioFaults
    from linesim.scenario import check_mapping as check_mapping
    from linesim.scenario import check_text as check_text
    from linesim.scenario import load as load
    from linesim.studies import Replicated as Replicated
    from linesim.studies.replicate import replicate as replicate

_HOMES = {
    "Effectiveness": "linesim.record.effectiveness",
    "ForcedStop": "linesim.scenario",
    "Record": "linesim.record",
    "Replicated": "linesim.studies",
    "Scenario": "linesim.scenario",
    "ScenarioFaults": "linesim.scenario",
    "State": "linesim.record",
    "check_mapping": "linesim.scenario",
    "check_text": "linesim.scenario",
    "line_effectiveness": "linesim.record.effectiveness",
    "load": "linesim.scenario",
    "replicate": "linesim.studies",
    "simulate": "linesim.line",
    "station_effectiveness": "linesim.record.effectiveness",
}

__all__ = [
    "Effectiveness",
    "ForcedStop",
    "Record",
    "Replicated",
    "Scenario",
    "ScenarioFaults",
    "State",
    "__version__",
    "check_mapping",
    "check_text",
    "line_effectiveness",
    "load",
    "replicate",
    "simulate",
    "station_effectiveness",
]


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        value = getattr(import_module(_HOMES[name]), name)
        globals()[name] = value
        return value
    raise AttributeError(f"module 'linesim' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)
