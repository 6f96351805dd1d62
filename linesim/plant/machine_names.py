"""What a plant calls its machines, matched to the stations of a scenario."""

from __future__ import annotations

import re
from collections.abc import Mapping

from linesim.plant.log_columns import plain
from linesim.plant.names_alike import ALIKE, names_alike
from linesim.scenario import Scenario
from linesim.scenario.stops import STATIONS

_CALLED: dict[str, tuple[str, ...]] = {
    "unwind": (
        *("unwinder", "unwind stand", "reel stand", "roll stand", "backstand", "reels"),
        *("abrollung", "abwicklung", "abwickler", "rollenstand", "derouleur", "desbobinador"),
    ),
    "web_path": ("web", "web guiding", "bahnlauf", "bahnfuhrung", "bahn"),
    "slitter": ("slitting", "langsschneider", "langsschnitt", "laengsschneider"),
    "cutter": (
        *("sheeter", "cross cutter", "rotary cutter", "cutting", "knife cylinder"),
        *("querschneider", "querschnitt", "coupeuse", "cortadora", "taglierina"),
    ),
    "gate": ("reject gate", "ausschleusung", "ausschussweiche", "weiche"),
    "overlap_belt": ("overlap", "shingling", "uberlappung", "schuppenband", "ueberlappung"),
    "pockets": ("pocket", "collecting pockets", "jogger", "taschen", "sammeltaschen"),
    "transfer": ("transfer gripper", "gripper", "greifer", "ubergabe", "uebergabe"),
    "bridge": (
        *("bridge conveyor", "bridge belt", "buffer", "buffer conveyor", "brucke", "bruecke"),
        *("puffer", "pufferband", "pufferstrecke"),
    ),
    "wrapper": (
        *("wrapping", "wrapping machine", "ream wrapper", "packing machine"),
        *("verpackung", "verpacker", "packmaschine", "verpackungsmaschine", "einschlagmaschine"),
        *("emballeuse", "envolvedora", "empaquetadora", "incartatrice"),
    ),
    "outfeed": ("outfeed conveyor", "discharge", "auslauf", "abtransport", "auslaufband"),
    "carton_packer": (
        *("case packer", "cartoner", "boxing machine", "box packer", "case erector"),
        *("kartonpacker", "kartoniermaschine", "kartonierer", "einpacker", "encartonneuse"),
    ),
    "palletiser": ("palletizer", "palletising", "palettierer", "palettiseur", "paletizadora"),
}
"""Words of the trade, without accents as :func:`plain` leaves them."""
_NUMBER_ONE = re.compile(r" (1|i|no 1|nr 1)$")


def station_of(
    text: str, scenario: Scenario | None, terms: Mapping[str, str] | None = None
) -> str | None:
    """The station of that name, in the plant's words or nearly; None where there is none.

    *terms* maps the plant's words to names of stations and goes before. A "wrapper 1" is the only
    wrapper there is.
    """
    by_hand = {plain(log): name for log, name in (terms or {}).items()}
    text = by_hand.get(plain(text), text)
    if not text:
        return None
    own = (*scenario.stations_called("wrapper"), *scenario.end_of_line) if scenario else ()
    names = {name: name for name in own}
    names |= {station: station for station in STATIONS if station not in names}
    called = names | {
        word: station for station, words in _CALLED.items() for word in words if word not in names
    }
    for shown in (text, _NUMBER_ONE.sub("", plain(text))):
        best = max(called, key=lambda name: names_alike(shown, name))
        if names_alike(shown, best) >= ALIKE:
            return called[best]
    return None
