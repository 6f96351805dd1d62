"""What a named grade and size say of the one product of a reference line."""

from __future__ import annotations

import math
from typing import Any


def of_product(scenario: Any) -> list[Any]:
    """The grade and the size it is of, as far as it names them."""
    product = scenario.product
    grades = [each for each in scenario.grade if each.name == product.grade]
    return grades + [each for each in scenario.size if each.name == product.size]


def fastest(scenario: Any, field: str) -> float:
    """The highest speed allowed, in the unit of the field."""
    said = [getattr(each, field) for each in of_product(scenario)]
    return min([speed for speed in said if speed is not None], default=math.inf)


def breaks_per_100_reels(scenario: Any) -> float:
    """Of its grade, or as many as the web path has."""
    for each in of_product(scenario):
        own = getattr(each, "breaks_per_100_reels", None)
        if own is not None:
            return float(own)
    return float(scenario.web_path.breaks_per_100_reels)
