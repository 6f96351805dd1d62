"""The buffers of a line: what fits on each, how long that is, how far it may go, what it costs.

Each stands before the station of whose table it is, but for the bridge, which has a table of its
own and stands before the wrappers.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from linesim.scenario.belt import Belt
from linesim.scenario.faults import Path, dotted
from linesim.scenario.scenario import USUAL_LONGEST_M, Scenario

USUAL_CARTON_PITCH_MM = 450.0
"""Common practice, no source: a carton of five reams is 310 mm long or less, and needs a gap."""

BRIDGE = "bridge"


@dataclass(frozen=True)
class Buffer:
    """One buffer as it stands. Its places are of ``piece``: reams or cartons."""

    name: str
    """Of the table that it is in."""
    tables: tuple[Path, ...]
    """Where that is; of several stations that share it, each adds its places."""
    words: str
    """In a sentence: "the bridge"."""
    places_field: str
    """The field of that table that says its places."""
    place_cost: str
    """The field of [money] that says what one more of them costs."""
    piece: str
    reams_per_piece: int
    places: int
    least: int
    """Fewer places make no line."""
    belt: Belt
    length_m: float
    longest_m: float
    """As far as it may go: as given, or what a hall usually has."""
    longest_given: bool

    @property
    def most(self) -> int:
        """Places on the longest there is room for."""
        return max(self.places, self.belt.places_within(self.longest_m))

    def fields(self, places: int) -> dict[str, Any]:
        """What gives it so many places: fields by their dotted names, and their values."""
        first, *others = (dotted((*table, self.places_field)) for table in self.tables)
        return {first: places} | dict.fromkeys(others, 0)

    def metres(self, places: int) -> float:
        """Length in m with so many places."""
        return self.length_m if places == self.places else self.belt.length_for(places)


def buffers_of(scenario: Scenario) -> dict[str, Buffer]:
    """The buffers there are, by name, as reams meet them."""
    bridge = scenario.bridge
    found = {
        BRIDGE: Buffer(
            name=BRIDGE,
            tables=((BRIDGE,),),
            words="the bridge",
            places_field="places",
            place_cost="ream_place_cost",
            piece="reams",
            reams_per_piece=1,
            places=scenario.bridge_places,
            least=scenario.most_set_reams,
            belt=bridge.belt,
            length_m=scenario.bridge_length_m,
            longest_m=_longest_m(bridge.longest_m, scenario.bridge_length_m),
            longest_given=bridge.longest_m is not None,
        )
    }
    for name, here in scenario.end_places.items():
        tables = [scenario.tables_behind[station] for station in here]
        is_list = isinstance(getattr(scenario, name), tuple)
        table, pieces = tables[0], scenario.end_of_line[here[0]]
        places = sum(getattr(each, each.places_field) for each in tables)
        if table.piece == "cartons":
            pitch_mm = table.carton_pitch_mm or USUAL_CARTON_PITCH_MM
        else:
            pitch_mm = table.ream_pitch_mm or bridge.ream_pitch_mm
        belt = Belt(pitch_mm, table.tracks or 1)
        length_m = belt.length_for(places)
        found[name] = Buffer(
            name=name,
            tables=tuple((name, i) for i in range(len(here))) if is_list else ((name,),),
            words=f"the {table.buffer} before the {name.replace('_', ' ')}",
            places_field=table.places_field,
            place_cost=table.place_cost,
            piece=table.piece,
            reams_per_piece=pieces.reams // pieces.takes,
            places=places,
            least=0,
            belt=belt,
            length_m=length_m,
            longest_m=_longest_m(table.longest_m, length_m),
            longest_given=table.longest_m is not None,
        )
    return found


def bridge_of(scenario: Scenario) -> Buffer:
    """The bridge as a buffer."""
    return buffers_of(scenario)[BRIDGE]


def _longest_m(given: float | None, length_m: float) -> float:
    return max(USUAL_LONGEST_M, length_m) if given is None else given
