"""What holds of cartons and pallets: what is packed takes its time and its blanks, and more room
behind the wrappers never costs a ream where theory says so.

Carton packer and palletiser behind a tandem line make it a longer one, and the words of
``bridge_law`` go for its buffers, too: a group of reams is a piece that is assembled, a spoiled
carton and a change of pallets are part of the work, and so is a magazine that is filled when it is
empty. It ends with a truck by the clock, with blanks that are brought while the packer runs on, and
with packers of which the quicker may be busy when a carton's reams are there.
"""

from __future__ import annotations

from collections.abc import Callable
from math import floor
from random import Random

import numpy as np

from linesim.fast import simulate
from linesim.record import Record, State
from linesim.scenario import Scenario
from linesim.scenario.units import MINUTE, SECOND
from tests.line.any_line import any_law
from tests.trust.bridge_law import HOURS, ROUNDING_NS
from tests.trust.wider_line import Tables, scenario_of, tandem_tables

TIMES_MORE = 3
ROOMS = {"carton_packer": "conveyor_reams", "palletiser": "belt_cartons"}


def packing_tandem(seed: int) -> Tables:
    """Tables of a tandem line that goes on to the pallet, and of what packs there alone."""
    luck, tables = Random(f"packing of tandem {seed}"), tandem_tables(seed)
    pick = luck.choice
    reams, wrapped = pick([1, 2, 5]), tables["wrapper"][0]["rate_reams_per_min"]
    packed = round(wrapped / reams * pick([0.613, 0.97, 2.1]), 3)
    blanks = pick([None, 7, 30])
    tables["carton_packer"] = [
        {
            "reams_per_carton": reams,
            "rate_cartons_per_min": packed,
            "conveyor_reams": pick([0, 1, 9]),
            "spoiled_per_10000": pick([0, 400]),
        }
        | ({} if blanks is None else {"magazine_blanks": blanks, "refill_at_blanks": 0})
        | {"refill_min": any_law(luck, 0.5), "refill_people": 0}
    ]
    tables["palletiser"] = {
        "rate_cartons_per_min": round(packed * pick([0.71, 1.13, 3.1]), 3),
        "belt_cartons": pick([0, 1, 5]),
        "cartons_per_layer": pick([2, 8]),
        "layers_per_pallet": pick([1, 3]),
        "layer_sheet_s": pick([0, 4.7]),
        "change_s": any_law(luck, 25),
    }
    for station in ROOMS:
        stop = {"cause": f"{station} jam", "station": station, "people": 0}
        meter = pick([{"every_reams": any_law(luck, 90)}, {"every_running_h": any_law(luck, 0.1)}])
        tables["stop"].append(stop | meter | {"restore_min": any_law(luck, 1)})
    return tables


def _grown(tables: Tables, where: str) -> Tables:
    """With more room before the packers, or before the palletiser."""
    field = ROOMS[where]
    there = tables[where]
    if isinstance(there, list):
        first = there[0] | {field: there[0][field] * TIMES_MORE + 4}
        return tables | {where: [first, *there[1:]]}
    return tables | {where: there | {field: there[field] * TIMES_MORE + 4}}


def _run(tables: Tables, seed: int) -> Record:
    return simulate(scenario_of(tables), seed=seed, hours=HOURS)


def more_room(seed: int) -> list[str]:
    """No ream is wrapped later for more room behind the wrappers, and no pallet is fewer."""
    tables, found = packing_tandem(seed), []
    less = _run(tables, seed)
    for where in ROOMS:
        more = _run(_grown(tables, where), seed)
        assert less.history is not None
        assert more.history is not None
        ends = [np.sort(record.history.ream_end_ns) for record in (less, more) if record.history]
        both = min(map(len, ends))
        later = int((ends[1][:both] - ends[0][:both]).max(initial=0))
        if len(ends[1]) < len(ends[0]):
            found.append(f"more before the {where}: {len(ends[1])} reams, not {len(ends[0])}")
        elif later > ROUNDING_NS:
            found.append(f"more before the {where}: a ream is {later / 1e9:.6f} s later")
        books = less.books.cartons, more.books.cartons
        assert books[0] is not None
        assert books[1] is not None
        if books[1].delivered < books[0].delivered:
            found.append(f"more before the {where}: fewer reams on pallets")
    return found


def closed_by(scenario: Scenario, record: Record) -> list[int]:
    """Cartons that each packer closed in a run that began new, from the time it ran alone."""
    found = []
    for packer in scenario.carton_packer:
        ran = record.sums.get((record.station(packer.name), State.RUNNING, 0, -1, -1), 0)
        found.append(floor(ran / round(MINUTE / packer.rate_cartons_per_min)))
    return found


def packing_adds_up(seed: int) -> list[str]:
    """Each carton takes its time and a blank, spoiled ones too; each laid one its time, each layer
    its sheet, each pallet its change. On every other line two packers share the conveyor."""
    tables, luck = packing_tandem(seed), Random(f"packers of tandem {seed}")
    if seed % 2:
        _two_packers(tables, luck)
    scenario = scenario_of(tables)
    record = _run(tables, seed)
    book, found = record.books.cartons, []
    assert book is not None
    closed = closed_by(scenario, record)
    if sum(closed) != book.cartons + book.cartons_spoiled:
        found.append(
            f"time for {closed} cartons, {book.cartons} and {book.cartons_spoiled} spoiled"
        )
    empties = {
        record.stations[stop.station]: stop.count
        for stop in record.stops
        if record.causes[stop.cause] == "no blanks"
    }
    for packer, cartons in zip(scenario.carton_packer, closed, strict=True):
        used = cartons // packer.magazine_blanks if packer.magazine_blanks else 0
        if empties.get(packer.name, 0) != used:
            found.append(f"{packer.name} was empty {empties.get(packer.name, 0)} times, not {used}")
    return found + _laid(scenario, record)


def _laid(scenario: Scenario, record: Record) -> list[str]:
    """What is wrong with the time of the palletiser, and with its changes."""
    table, book, found = scenario.palletiser, record.books.cartons, []
    assert table is not None
    assert book is not None
    laid = record.taken_out[-1] // scenario.end_of_line["palletiser"].reams
    ran = record.sums.get((record.station("palletiser"), State.RUNNING, 0, -1, -1), 0)
    each, sheet = round(MINUTE / table.rate_cartons_per_min), round(table.layer_sheet_s * SECOND)
    least = laid * each + laid // table.cartons_per_layer * sheet
    if not least <= ran <= least + each + sheet:
        found.append(f"{laid} cartons were laid in {ran / 1e9} s, not {least / 1e9}")
    if book.pallets != laid // table.cartons_per_pallet:
        found.append(f"{book.pallets} pallets of {laid} cartons laid")
    if laid > book.cartons:
        found.append(f"{laid} cartons laid of {book.cartons}")
    return found


def _two_packers(tables: Tables, luck: Random) -> None:
    one = tables["carton_packer"][0]
    tables["carton_packer"] = [
        one | {"name": "quick", "rate_cartons_per_min": one["rate_cartons_per_min"] * 0.8137},
        one | {"name": "slow", "rate_cartons_per_min": one["rate_cartons_per_min"] * 0.3071},
    ]


def _truck(tables: Tables, luck: Random) -> None:
    tables["palletiser"] |= {"truck_every_min": any_law(luck, 4), "full_pallet_places": 1}


def _filled_in_time(tables: Tables, luck: Random) -> None:
    blanks = {"magazine_blanks": 20, "refill_at_blanks": 6, "refill_min": any_law(luck, 1)}
    tables["carton_packer"][0] |= blanks


BEYOND: dict[str, Callable[[Tables, Random], None]] = {
    "two unlike carton packers": _two_packers,
    "a truck by the clock": _truck,
    "blanks brought while it runs": _filled_in_time,
}


def fewer_with_more(seed: int, what: str) -> list[tuple[int, int]]:
    """Reams wrapped with less room and with more, where theory has no such word."""
    tables = packing_tandem(seed)
    BEYOND[what](tables, Random(seed))
    less = sum(_run(tables, seed).wrapped_by)
    return [(less, sum(_run(_grown(tables, where), seed).wrapped_by)) for where in ROOMS]
