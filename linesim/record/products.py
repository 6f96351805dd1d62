"""The products a scenario makes, as the arithmetic of rates needs them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from linesim import paper
from linesim.record.record import Record
from linesim.scenario import Scenario


@dataclass(frozen=True)
class Product:
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


def products(scenario: Scenario) -> tuple[Product, ...]:
    """The products of a scenario: one per order, or the one of [product] and [slitter]."""
    product = scenario.product
    cuts = paper.cuts_per_ream(product.sheets_per_ream, scenario.unwind.webs).cuts
    if not scenario.order:
        return (
            Product(
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
        Product(
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


class OrdersInTime:
    """The orders' products, and the moments (ns) from which each is cut."""

    def __init__(self, record: Record) -> None:
        self.products = products(record.scenario)
        self.names: tuple[str, ...] = tuple(order.name for order in record.scenario.order)
        self.from_ns = [0]
        for done in record.orders[1:]:
            if done.begun_ns is None:
                break
            self.from_ns.append(done.begun_ns)

    def number(self, t_ns: int) -> int:
        """Number of the order being cut at ``t_ns``."""
        return int(np.searchsorted(self.from_ns, t_ns, "right")) - 1

    def product(self, t_ns: int) -> Product:
        """What is being cut at ``t_ns``."""
        return self.products[self.number(t_ns)]

    def name(self, t_ns: int) -> str | None:
        """Name of the order; None where the scenario has no orders."""
        return self.names[self.number(t_ns)] if self.names else None
