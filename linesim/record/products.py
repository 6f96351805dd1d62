"""The products a scenario makes, as the arithmetic of rates needs them."""

from __future__ import annotations

from dataclasses import asdict, dataclass

import numpy as np

from linesim import paper
from linesim.record.last_scenario import kept_for_the_last
from linesim.record.record import Record
from linesim.scenario import Scenario
from linesim.scenario.goods import (
    Goods,
    Sizes,
    breaks_per_um,
    goods_of,
    limit,
    named_by,
    sizes_of,
    web_speed_m_per_min,
)
from linesim.scenario.order_tables import Order


@dataclass(frozen=True)
class Product(Sizes):
    """A product on the line, and its share of the reams (all shares add up to 1).

    Speeds are what grade and size allow at most; infinite where they say nothing.
    """

    share: float
    cuts_per_ream: int
    web_speed_m_per_min: float
    """Rated speed of the webs with it."""
    wrapper_limit_per_min: float
    packer_limit_per_min: float
    breaks_per_m: float
    """Web breaks on a metre of one web at the reference speed."""

    def web_m_per_ream(self, webs: int) -> float:
        """Web in m, all webs together, of which one ream is cut."""
        return self.cuts_per_ream * webs * self.sheet_length_mm / 1000 / self.lanes


@kept_for_the_last
def products(scenario: Scenario) -> tuple[Product, ...]:
    """The products of a scenario: one per order, or the one of [product] and [slitter]."""
    cuts = paper.cuts_per_ream(scenario.product.sheets_per_ream, scenario.unwind.webs).cuts
    total = sum(order.reams for order in scenario.order)

    def product(order: Order | None) -> Product:
        return Product(
            share=order.reams / total if order is not None else 1.0,
            cuts_per_ream=cuts,
            web_speed_m_per_min=web_speed_m_per_min(scenario, order),
            wrapper_limit_per_min=limit(scenario, order, "wrapper_rate_reams_per_min"),
            packer_limit_per_min=limit(scenario, order, "packer_rate_cartons_per_min"),
            breaks_per_m=breaks_per_um(scenario, order) * 1e6,
            **asdict(sizes_of(scenario, order)),
        )

    return tuple(product(order) for order in scenario.order or (None,))


def product_names(scenario: Scenario) -> tuple[str, ...]:
    """Of each order, what its product goes by: size and grade, or the first order of that product.

    Without orders, of the scenario's own product. Two products have two names.
    """
    orders = scenario.order or (None,)
    goods = [goods_of(scenario, order) for order in orders]
    names: dict[Goods, str] = {}
    for number, (each, order) in enumerate(zip(goods, orders, strict=True), 1):
        if each in names:
            continue
        grade, size = named_by(scenario, order)
        name = order.name if order is not None else "product"
        if grade is not None and size is not None:
            name = f"{size.name} {grade.name}"
        names[each] = f"{name} ({number})" if name in names.values() else name
    return tuple(names[each] for each in goods)


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
