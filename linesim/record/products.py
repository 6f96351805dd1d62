"""The products a scenario makes, as the arithmetic of rates needs them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

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


_OWN = ("sheet_width_mm", "sheet_length_mm", "lanes", "grammage_g_per_m2", "thickness_um")
"""What an order may say in place of [product] and [slitter]."""


def products(scenario: Scenario) -> tuple[Product, ...]:
    """The products of a scenario: one per order, or the one of [product] and [slitter]."""
    product = scenario.product
    usual = Product(
        1.0,
        product.sheet_width_mm,
        product.sheet_length_mm,
        scenario.slitter.lanes,
        product.grammage_g_per_m2,
        product.thickness_um,
        paper.cuts_per_ream(product.sheets_per_ream, scenario.unwind.webs).cuts,
    )
    total = sum(order.reams for order in scenario.order)
    made = []
    for order in scenario.order:
        own: dict[str, Any] = {name: getattr(order, name) for name in _OWN if getattr(order, name)}
        made.append(replace(usual, share=order.reams / total, **own))
    return tuple(made) or (usual,)


class OrdersInTime:
    """The orders' products, and the moments (ns) from which each is cut: which one at ``t_ns``?"""

    def __init__(self, record: Record) -> None:
        self.products = products(record.scenario)
        self.names: tuple[str, ...] = tuple(order.name for order in record.scenario.order)
        self.from_ns = [0]
        for done in record.orders[1:]:
            if done.begun_ns is None:
                break
            self.from_ns.append(done.begun_ns)

    def number(self, t_ns: int) -> int:
        return int(np.searchsorted(self.from_ns, t_ns, "right")) - 1

    def product(self, t_ns: int) -> Product:
        return self.products[self.number(t_ns)]

    def name(self, t_ns: int) -> str | None:
        """Name of the order; None where the scenario has no orders."""
        return self.names[self.number(t_ns)] if self.names else None
