"""The stop causes that every line of this kind knows, with figures to start from.

The figures are common practice, no source: replace them by your own. Another known cause is one
more entry here.
"""

from __future__ import annotations

from typing import Any


def _exponential(mean: float) -> dict[str, Any]:
    return {"law": "exponential", "mean": mean}


def _lognormal(mean: float, sd: float) -> dict[str, Any]:
    return {"law": "lognormal", "mean": mean, "sd": sd}


def _weibull(mean: float, shape: float) -> dict[str, Any]:
    return {"law": "weibull", "mean": mean, "shape": shape}


def _cause(station: str, *, people: int = 1, **figures: Any) -> dict[str, Any]:
    return {"station": station, "people": people, **figures}


KNOWN_CAUSES: dict[str, dict[str, Any]] = {
    "reel handling": _cause(
        "unwind",
        every_running_h=_exponential(60),
        people=2,
        restore_min=_lognormal(8, 6),
        note="lifting, chucking, rail truck",
    ),
    "tension control": _cause(
        "web_path", every_running_h=_exponential(90), restore_min=_lognormal(10, 8), per_web=True
    ),
    "decurling automatic": _cause(
        "web_path", every_running_h=_exponential(200), restore_min=_lognormal(4, 2), per_web=True
    ),
    "decurling by hand": _cause(
        "web_path",
        every_web_km=_exponential(400),
        restore_min=_lognormal(2, 1),
        spoils_cuts=10,
        per_web=True,
    ),
    "edge guiding": _cause(
        "web_path", every_running_h=_exponential(160), restore_min=_lognormal(4, 3), per_web=True
    ),
    "static": _cause(
        "web_path", every_running_h=_exponential(50), restore_min=_lognormal(3, 2), spoils_cuts=10
    ),
    "dancer roller": _cause(
        "web_path", every_running_h=_exponential(300), restore_min=_lognormal(15, 10), per_web=True
    ),
    "slitter knives": _cause(
        "slitter",
        every_web_km=_weibull(4000, 3),
        planned=True,
        restore_min=_lognormal(20, 6),
        spoils_cuts=20,
        note="wear, by length slit",
    ),
    "trim suction": _cause(
        "slitter", every_running_h=_exponential(30), restore_min=_lognormal(4, 3)
    ),
    "dust suction": _cause(
        "slitter", every_running_h=_exponential(120), restore_min=_lognormal(6, 4)
    ),
    "cutter knives": _cause(
        "cutter",
        every_cuts=_weibull(20_000_000, 3.5),
        people=2,
        planned=True,
        restore_min=_lognormal(75, 20),
        spoils_cuts=40,
        note="wear, by cuts made",
    ),
    "controls": _cause(
        "cutter",
        every_clock_h=_exponential(150),
        restore_min=_lognormal(15, 15),
        spoils_cuts=10,
        note="drives and controls, power dips: they happen to a standing line too",
    ),
    "reject gate": _cause(
        "gate", every_running_h=_exponential(70), restore_min=_lognormal(3, 2), spoils_cuts=10
    ),
    "overlap belt": _cause(
        "overlap_belt",
        every_running_h=_exponential(12),
        restore_min=_lognormal(3, 2),
        spoils_cuts=20,
        note="jam in the overlap",
    ),
    "jogging": _cause(
        "pockets",
        every_running_h=_exponential(16),
        restore_min=_lognormal(2, 1.5),
        spoils_pockets=True,
        note="pocket fault, sheets not square",
    ),
    "sheet counting": _cause(
        "pockets",
        every_reams=_exponential(60_000),
        restore_min=_lognormal(2, 1),
        spoils_pockets=True,
    ),
    "transfer gripper": _cause(
        "transfer", every_reams=_exponential(20_000), restore_min=_lognormal(3, 2)
    ),
    "bridge belt": _cause("bridge", every_running_h=_exponential(80), restore_min=_lognormal(5, 4)),
    "wrapper jam": _cause(
        "wrapper", every_reams=_exponential(2500), restore_min=_lognormal(3, 2.5), spoils_reams=1
    ),
    "label printer": _cause(
        "wrapper",
        every_reams=_weibull(15_000, 4),
        restore_min=_lognormal(3, 1),
        note="ribbon or labels used up, head cleaned",
    ),
    "glue and sealing": _cause(
        "wrapper", every_running_h=_exponential(20), restore_min=_lognormal(5, 4), spoils_reams=1
    ),
    "outfeed jam": _cause("outfeed", every_reams=_exponential(8000), restore_min=_lognormal(3, 2)),
    "blank jam": _cause(
        "carton_packer",
        every_reams=_exponential(3000),
        restore_min=_lognormal(2.5, 2),
        note="a blank is not drawn or not opened",
    ),
    "tape used up": _cause(
        "carton_packer",
        every_reams=_weibull(7500, 6),
        restore_min=_lognormal(2, 0.7),
        note="a new roll of tape, some 1,500 cartons of five reams",
    ),
    "carton glue": _cause(
        "carton_packer",
        every_running_h=_exponential(25),
        restore_min=_lognormal(6, 5),
        note="hot melt: nozzle blocked, too cold",
    ),
    "carton dropped": _cause(
        "palletiser", every_reams=_exponential(15_000), restore_min=_lognormal(4, 3)
    ),
    "pallet magazine": _cause(
        "palletiser",
        every_running_h=_exponential(30),
        restore_min=_lognormal(4, 3),
        note="a bad pallet, or none left",
    ),
}
"""Name of a cause -> its fields; a scenario that names one may leave out what stands here."""
