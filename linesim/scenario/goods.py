"""What a line makes, in fine whole units: from [product] or from an order."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

from linesim import paper
from linesim.scenario.running_tables import Order
from linesim.scenario.scenario import Scenario
from linesim.scenario.units import SECOND, UM_PER_NS

USUAL_EDGE_TRIM_MM = 10.0
"""Where neither the trim nor the width of the web is said."""


@dataclass(frozen=True)
class Sizes:
    """Sheet and lanes of an order, as [product] and [slitter] say where it does not."""

    sheet_width_mm: float
    sheet_length_mm: float
    thickness_um: float
    grammage_g_per_m2: float
    lanes: int
    reel_width_mm: float | None
    """Of the web as bought; None: as lanes and trim make it."""
    edge_trim_mm: float

    @property
    def lanes_width_mm(self) -> float:
        return self.lanes * self.sheet_width_mm

    @property
    def web_width_mm(self) -> float:
        if self.reel_width_mm is not None:
            return self.reel_width_mm
        return paper.web_width_mm(self.lanes, self.sheet_width_mm, self.edge_trim_mm)


def sizes_of(scenario: Scenario, order: Order | None = None) -> Sizes:
    """Of an order; without one, of the scenario's own product."""
    slitter = scenario.slitter
    trim = USUAL_EDGE_TRIM_MM if slitter.edge_trim_mm is None else slitter.edge_trim_mm
    usual = scenario.product.model_dump() | {
        "lanes": slitter.lanes,
        "reel_width_mm": scenario.reels.width_mm,
        "edge_trim_mm": trim,
    }
    own = order.model_dump(exclude_none=True) if order is not None else {}
    return Sizes(**{field.name: (usual | own)[field.name] for field in fields(Sizes)})


@dataclass(slots=True, unsafe_hash=True)
class Goods:
    """Sheet, ream and rated speed of one order."""

    cut_um: int
    sheet_width_um: int
    lanes: int
    cuts_per_ream: int
    extra_sheets: int
    """Sheets above the ream count, given away with each ream."""
    web_width_um: int
    trim_um: int
    """Both edges together."""
    thickness_um: float
    grammage_mg_per_m2: int
    ream_height_mm: float
    speed: float
    """Rated speed, um/ns: web speed, or what the cutter's limit allows."""
    pace: float
    """What the webs are driven at, um/ns: rated speed, or what the transfer can fetch."""


def goods_of(scenario: Scenario, order: Order | None = None) -> Goods:
    """Sheet, ream and speed of an order; without one, of the scenario's own product."""
    cutter, made = scenario.cutter, sizes_of(scenario, order)
    count = paper.cuts_per_ream(scenario.product.sheets_per_ream, scenario.unwind.webs)
    cut_um = round(made.sheet_length_mm * 1000)
    sheet_width_um = round(made.sheet_width_mm * 1000)
    web_width_um = round(made.web_width_mm * 1000)
    speed = UM_PER_NS * min(cutter.web_speed_m_per_min, cutter.max_cuts_per_min * cut_um / 1e6)
    return Goods(
        cut_um=cut_um,
        sheet_width_um=sheet_width_um,
        lanes=made.lanes,
        cuts_per_ream=count.cuts,
        extra_sheets=count.extra_sheets,
        web_width_um=web_width_um,
        trim_um=web_width_um - made.lanes * sheet_width_um,
        thickness_um=made.thickness_um,
        grammage_mg_per_m2=round(made.grammage_g_per_m2 * 1000),
        ream_height_mm=paper.ream_height_mm(count.cuts * scenario.unwind.webs, made.thickness_um),
        speed=speed,
        pace=min(speed, _transfer_pace(scenario, cut_um, count.cuts)),
    )


def _transfer_pace(scenario: Scenario, cut_um: int, cuts: int) -> float:
    """Web speed (um/ns) at which the transfer is just back for every set, its moves at their means.

    Without fingers the pockets take nothing during the pick but what the overlap belt holds.
    """
    table = scenario.transfer
    moves = [table.pick_s, table.carry_s, table.place_s, table.return_s]
    pick, *rest = (law.average() * SECOND for law in moves)
    cycle = pick + sum(rest)
    if not table.paces_webs or cycle == 0:
        return math.inf
    held = scenario.overlap_belt.hold_cuts
    rate = cuts / cycle
    if not scenario.pockets.interim_fingers and rate * pick > held:
        rate = max(0, cuts - held) / (cycle - pick) if cycle > pick else math.inf
    # Rounded to the nanosecond the set must not be full before the transfer is home.
    return rate * cut_um * (1 - 1e-9)


def wrap_reams_per_roll(scenario: Scenario, wrapper: int, goods: Goods) -> int | None:
    """Reams wrapped from one roll; None where rolls are not modelled."""
    table = scenario.wrapper[wrapper]
    if table.roll_length_m is None:
        return None
    per_ream = table.wrap_length_mm or paper.wrap_length_mm(
        goods.sheet_width_um / 1000, goods.ream_height_mm, table.wrap_overlap_mm
    )
    return max(1, paper.reams_per_roll(table.roll_length_m, per_ream))
