"""How a field of a scenario file is declared: unit, help and typical range beside its type."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, Field

Name = Annotated[str, Field(min_length=1, max_length=60, pattern=r"^[^\x00-\x1f]+$")]


class Table(BaseModel):
    """A table of the scenario file. Unknown keys are faults, numbers must be finite."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


def quantity(
    default: Any,
    help_text: str,
    *,
    unit: str = "",
    low: float | None = None,
    high: float | None = None,
    above: float | None = None,
    typical: tuple[float, float] | None = None,
    pattern: str | None = None,
) -> Any:
    """Declare a field.

    ``low``, ``high`` are the legal range (inclusive), ``above`` an exclusive lower bound, all in
    ``unit``; ``typical`` is the range met in practice (common practice, no source); ``pattern``
    is what text must look like. ``default`` is ``...`` for a field that must be given.
    """
    extra: dict[str, Any] = {"unit": unit}
    if typical is not None:
        extra["typical"] = list(typical)
    return Field(
        default,
        description=help_text,
        ge=low,
        le=high,
        gt=above,
        pattern=pattern,
        json_schema_extra=extra,
    )
