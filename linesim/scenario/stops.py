"""Stop causes: one shape for all of them, and the causes every line of this kind knows.

A cause falls due on a meter that moves only with its station (operation-dependent), or by the
clock. The figures of the known causes are common practice, no source: replace them by your own.
"""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field, model_validator

from linesim.scenario.fields import Table, quantity
from linesim.scenario.laws import Law
from linesim.scenario.tables import Name

WEB_STATIONS = ("unwind", "web_path", "slitter", "cutter", "gate", "overlap_belt", "pockets")
"""Stations that move as one with the webs, as the paper meets them."""

STATIONS = (*WEB_STATIONS, "transfer", "bridge", "wrapper", "outfeed")

METERS = ("every_running_h", "every_web_km", "every_cuts", "every_reams", "every_clock_h")


def _exponential(mean: float) -> dict[str, Any]:
    return {"law": "exponential", "mean": mean}


def _lognormal(mean: float, sd: float) -> dict[str, Any]:
    return {"law": "lognormal", "mean": mean, "sd": sd}


def _weibull(mean: float, shape: float) -> dict[str, Any]:
    return {"law": "weibull", "mean": mean, "shape": shape}


KNOWN_CAUSES: dict[str, dict[str, Any]] = {
    "reel handling": {
        "station": "unwind", "every_running_h": _exponential(60), "people": 2,
        "restore_min": _lognormal(8, 6),
        "note": "lifting, chucking, rail truck",
    },
    "tension control": {
        "station": "web_path", "every_running_h": _exponential(90), "people": 1,
        "restore_min": _lognormal(10, 8), "per_web": True,
    },
    "decurling automatic": {
        "station": "web_path", "every_running_h": _exponential(200), "people": 1,
        "restore_min": _lognormal(4, 2), "per_web": True,
    },
    "decurling by hand": {
        "station": "web_path", "every_web_km": _exponential(400), "people": 1,
        "restore_min": _lognormal(2, 1), "spoils_cuts": 10, "per_web": True,
    },
    "edge guiding": {
        "station": "web_path", "every_running_h": _exponential(160), "people": 1,
        "restore_min": _lognormal(4, 3), "per_web": True,
    },
    "static": {
        "station": "web_path", "every_running_h": _exponential(50), "people": 1,
        "restore_min": _lognormal(3, 2), "spoils_cuts": 10,
    },
    "dancer roller": {
        "station": "web_path", "every_running_h": _exponential(300), "people": 1,
        "restore_min": _lognormal(15, 10), "per_web": True,
    },
    "slitter knives": {
        "station": "slitter", "every_web_km": _weibull(4000, 3), "people": 1, "planned": True,
        "restore_min": _lognormal(20, 6), "spoils_cuts": 20,
        "note": "wear, by length slit",
    },
    "trim suction": {
        "station": "slitter", "every_running_h": _exponential(30), "people": 1,
        "restore_min": _lognormal(4, 3),
    },
    "dust suction": {
        "station": "slitter", "every_running_h": _exponential(120), "people": 1,
        "restore_min": _lognormal(6, 4),
    },
    "cutter knives": {
        "station": "cutter", "every_cuts": _weibull(20_000_000, 3.5), "people": 2,
        "planned": True, "restore_min": _lognormal(75, 20), "spoils_cuts": 40,
        "note": "wear, by cuts made",
    },
    "controls": {
        "station": "cutter", "every_clock_h": _exponential(150), "people": 1,
        "restore_min": _lognormal(15, 15), "spoils_cuts": 10,
        "note": "drives and controls, power dips: they happen to a standing line too",
    },
    "reject gate": {
        "station": "gate", "every_running_h": _exponential(70), "people": 1,
        "restore_min": _lognormal(3, 2), "spoils_cuts": 10,
    },
    "overlap belt": {
        "station": "overlap_belt", "every_running_h": _exponential(12), "people": 1,
        "restore_min": _lognormal(3, 2), "spoils_cuts": 20,
        "note": "jam in the overlap",
    },
    "jogging": {
        "station": "pockets", "every_running_h": _exponential(16), "people": 1,
        "restore_min": _lognormal(2, 1.5), "spoils_pockets": True,
        "note": "pocket fault, sheets not square",
    },
    "sheet counting": {
        "station": "pockets", "every_reams": _exponential(60_000), "people": 1,
        "restore_min": _lognormal(2, 1), "spoils_pockets": True,
    },
    "transfer gripper": {
        "station": "transfer", "every_reams": _exponential(20_000), "people": 1,
        "restore_min": _lognormal(3, 2),
    },
    "bridge belt": {
        "station": "bridge", "every_running_h": _exponential(80), "people": 1,
        "restore_min": _lognormal(5, 4),
    },
    "wrapper jam": {
        "station": "wrapper", "every_reams": _exponential(2500), "people": 1,
        "restore_min": _lognormal(3, 2.5), "spoils_reams": 1,
    },
    "label printer": {
        "station": "wrapper", "every_reams": _weibull(15_000, 4), "people": 1,
        "restore_min": _lognormal(3, 1),
        "note": "ribbon or labels used up, head cleaned",
    },
    "glue and sealing": {
        "station": "wrapper", "every_running_h": _exponential(20), "people": 1,
        "restore_min": _lognormal(5, 4), "spoils_reams": 1,
    },
    "outfeed jam": {
        "station": "outfeed", "every_reams": _exponential(8000), "people": 1,
        "restore_min": _lognormal(3, 2),
    },
}
"""Name of a cause -> its fields; a scenario that names one may leave out what stands here."""


class Stop(Table):
    """One stop cause. Give exactly one of the ``every_...`` fields: the meter it falls due on."""

    cause: Name = quantity(..., "name of the cause; a known cause brings its own figures")
    station: str = quantity(
        ..., "station that stops: " + ", ".join(STATIONS) + ", or the name of one wrapper"
    )
    every_running_h: Law | None = quantity(
        None, "interval in hours in which the station moves", unit="h"
    )
    every_web_km: Law | None = quantity(None, "interval in kilometres of web", unit="km")
    every_cuts: Law | None = quantity(None, "interval in cuts", unit="cuts")
    every_reams: Law | None = quantity(None, "interval in reams of the station", unit="reams")
    every_clock_h: Law | None = quantity(
        None, "interval in clock hours: it happens to a standing station too", unit="h"
    )
    restore_min: Law = quantity(..., "time to restore, once people are there", unit="min")
    people: int = quantity(1, "people needed", low=0, high=20)
    priority: int | None = quantity(
        None, "priority of the job; unless given, by what stands", low=1, high=9
    )
    planned: bool = quantity(False, "planned work (a knife change): set-up, not a breakdown")
    per_web: bool = quantity(False, "every web has this cause of its own")
    spoils_cuts: int = quantity(
        0, "cuts to reject at the restart, besides those of every stop", low=0, high=1_000_000
    )
    spoils_web_m: float = quantity(
        0.0, "metres lost on every web", unit="m", low=0, high=10000
    )
    spoils_pockets: bool = quantity(False, "the content of the pockets is lost")
    spoils_reams: int = quantity(
        0, "reams at the station that are lost or spoiled", low=0, high=1000
    )
    note: str = quantity("", "where the figures come from")

    @model_validator(mode="before")
    @classmethod
    def _known_cause_brings_its_figures(cls, data: Any) -> Any:
        if not isinstance(data, dict):
            return data
        cause = data.get("cause")
        known = KNOWN_CAUSES.get(cause) if isinstance(cause, str) else None
        if known is None:
            return data
        own_meter = any(meter in data for meter in METERS)
        return {k: v for k, v in known.items() if not (own_meter and k in METERS)} | data

    @model_validator(mode="after")
    def _one_meter(self) -> Stop:
        given = [meter for meter in METERS if getattr(self, meter) is not None]
        if len(given) != 1:
            raise ValueError(
                f"give exactly one of {', '.join(METERS)}" + (f", not {given}" if given else "")
            )
        return self

    @property
    def meter(self) -> str:
        """Name of the field that holds the interval."""
        return next(meter for meter in METERS if getattr(self, meter) is not None)

    @property
    def interval(self) -> Any:
        """Law of the interval, in the unit of its meter."""
        return getattr(self, self.meter)


class ForcedStop(Table):
    """A stop that someone asks for: at this station, at this moment, so long."""

    station: str = Field(description="station, or name of a wrapper")
    at_h: float = Field(description="start, hours after the run starts", ge=0, le=1e6)
    minutes: float = Field(description="length of the standstill", gt=0, le=1e6)
    cause: Name = "forced stop"


MeterName = Literal[
    "every_running_h", "every_web_km", "every_cuts", "every_reams", "every_clock_h"
]
