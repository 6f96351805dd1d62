"""The products a scenario makes, as the arithmetic of rates needs them."""

from __future__ import annotations

from dataclasses import dataclass

from linesim import paper
from linesim.scenario import Scenario


@dataclass(frozen=True)
class Job:
    """A product on the line, and its share of the reams (all shares add up to 1)."""

    share: float
    sheet_width_mm: float
    sheet_length_mm: float
    lanes: int
    grammage_g_per_m2: float
    thickness_um: float
    cuts_per_ream: int

    def web_m_per_ream(self, webs: int) -> float:
        """Web in m, all webs together, of which one ream is cut."""
        return self.cuts_per_ream * webs * self.sheet_length_mm / 1000 / self.lanes


def jobs(scenario: Scenario) -> tuple[Job, ...]:
    """The products of a scenario: one per order, or the one of [product] and [slitter]."""
    product = scenario.product
    cuts = paper.cuts_per_ream(product.sheets_per_ream, scenario.unwind.webs).cuts
    if not scenario.order:
        return (
            Job(
                1.0,
                product.sheet_width_mm,
                product.sheet_length_mm,
                scenario.slitter.lanes,
                product.grammage_g_per_m2,
                product.thickness_um,
                cuts,
            ),
        )
    total = sum(order.reams for order in scenario.order)
    return tuple(
        Job(
            order.reams / total,
            order.sheet_width_mm or product.sheet_width_mm,
            order.sheet_length_mm or product.sheet_length_mm,
            order.lanes or scenario.slitter.lanes,
            order.grammage_g_per_m2 or product.grammage_g_per_m2,
            order.thickness_um or product.thickness_um,
            cuts,
        )
        for order in scenario.order
    )
