"""Laws of chance, written as people measure them: a mean and a spread, not textbook letters.

Every law gives its values by its quantile function, so that one uniform draw makes one value:
two variants of a line that meet the same draw meet the same chance, a long stop staying a long stop
when its mean is changed. ``below(x)`` is the chance of a value up to ``x``, ``mean_up_to(x)`` the
mean of the values where longer ones count as ``x``: with it goes the time that is left of an
interval which somebody comes upon (``residual_life``).
"""

from __future__ import annotations

import math
from typing import Annotated, Any, Literal, get_args

import numpy as np
import scipy
from numpy.typing import NDArray
from pydantic import BeforeValidator, Field, TypeAdapter, ValidationError, model_validator

from linesim.scenario.fields import Table

Numbers = NDArray[np.float64]

_SMALLEST = 1e-9
_LARGEST = 1e9


def _size(description: str) -> Any:
    return Field(description=description, ge=_SMALLEST, le=_LARGEST)


class Constant(Table):
    """Always the same value. A bare number in the file means this."""

    law: Literal["constant"] = "constant"
    mean: float = Field(description="the value", ge=0, le=_LARGEST)

    def quantile(self, u: Numbers) -> Numbers:
        return np.full_like(u, self.mean)

    def below(self, x: float) -> float:
        return 1.0 if x >= self.mean else 0.0

    def mean_up_to(self, x: float) -> float:
        return min(x, self.mean)

    def average(self) -> float:
        return self.mean


class Exponential(Table):
    """No memory: as likely to happen now as at any other time."""

    law: Literal["exponential"]
    mean: float = _size("mean (for an interval: the MTBF)")

    def quantile(self, u: Numbers) -> Numbers:
        return np.asarray(-self.mean * np.log1p(-u))

    def below(self, x: float) -> float:
        return -math.expm1(-x / self.mean)

    def mean_up_to(self, x: float) -> float:
        return self.mean * self.below(x)

    def average(self) -> float:
        return self.mean


class Weibull(Table):
    """Wear (shape above 1) or early trouble (shape below 1)."""

    law: Literal["weibull"]
    mean: float = _size("mean (for an interval: the MTBF)")
    shape: float = Field(description="1 is exponential, above 1 wears out", ge=0.2, le=50)

    @property
    def scale(self) -> float:
        return self.mean / math.gamma(1 + 1 / self.shape)

    def quantile(self, u: Numbers) -> Numbers:
        return np.asarray(self.scale * (-np.log1p(-u)) ** (1 / self.shape))

    def below(self, x: float) -> float:
        return -math.expm1(-((x / self.scale) ** self.shape))

    def mean_up_to(self, x: float) -> float:
        worn = (x / self.scale) ** self.shape
        return self.mean * float(scipy.special.gammainc(1 / self.shape, worn))

    def average(self) -> float:
        return self.mean


class Lognormal(Table):
    """Many short, a few long: the usual shape of a time to restore."""

    law: Literal["lognormal"]
    mean: float = _size("mean")
    sd: float = _size("standard deviation, in the unit of the mean")

    def _of_the_logarithm(self) -> tuple[float, float]:
        """Mean and standard deviation."""
        variance = math.log1p((self.sd / self.mean) ** 2)
        return math.log(self.mean) - variance / 2, math.sqrt(variance)

    def quantile(self, u: Numbers) -> Numbers:
        mean, sd = self._of_the_logarithm()
        return np.asarray(np.exp(mean + sd * scipy.special.ndtri(u)))

    def below(self, x: float) -> float:
        mean, sd = self._of_the_logarithm()
        return float(scipy.special.ndtr((math.log(x) - mean) / sd)) if x > 0 else 0.0

    def mean_up_to(self, x: float) -> float:
        if x <= 0:
            return 0.0
        mean, sd = self._of_the_logarithm()
        z = (math.log(x) - mean) / sd
        shorter, longer = scipy.special.ndtr(z - sd), scipy.special.ndtr(-z)
        return float(self.mean * shorter + x * longer)

    def average(self) -> float:
        return self.mean


class Gamma(Table):
    """Skewed, lighter in the tail than lognormal."""

    law: Literal["gamma"]
    mean: float = _size("mean")
    sd: float = _size("standard deviation, in the unit of the mean")

    @model_validator(mode="after")
    def _within_reach(self) -> Gamma:
        if not 0.02 <= self.sd / self.mean <= 20:
            raise ValueError("sd should lie between 0.02 and 20 times the mean")
        return self

    def quantile(self, u: Numbers) -> Numbers:
        shape = (self.mean / self.sd) ** 2
        return np.asarray(scipy.special.gammaincinv(shape, u) * self.mean / shape)

    def below(self, x: float) -> float:
        shape = (self.mean / self.sd) ** 2
        return float(scipy.special.gammainc(shape, x * shape / self.mean))

    def mean_up_to(self, x: float) -> float:
        shape = (self.mean / self.sd) ** 2
        turn = x * shape / self.mean
        shorter, longer = (
            scipy.special.gammainc(shape + 1, turn),
            scipy.special.gammaincc(shape, turn),
        )
        return float(self.mean * shorter + x * longer)

    def average(self) -> float:
        return self.mean


class Uniform(Table):
    """Anything between two values, none likelier than another."""

    law: Literal["uniform"]
    low: float = Field(description="smallest value", ge=0, le=_LARGEST)
    high: float = _size("largest value")

    @model_validator(mode="after")
    def _ordered(self) -> Uniform:
        if self.low > self.high:
            raise ValueError("low should not be above high")
        return self

    def quantile(self, u: Numbers) -> Numbers:
        return np.asarray(self.low + (self.high - self.low) * u)

    def below(self, x: float) -> float:
        if x >= self.high:
            return 1.0
        return max(0.0, x - self.low) / (self.high - self.low)

    def mean_up_to(self, x: float) -> float:
        if x <= self.low:
            return x
        if x >= self.high:
            return self.average()
        return x - (x - self.low) ** 2 / (self.high - self.low) / 2

    def average(self) -> float:
        return (self.low + self.high) / 2


class Triangular(Table):
    """Least, most likely and greatest: what an experienced person can say without a log."""

    law: Literal["triangular"]
    low: float = Field(description="smallest value", ge=0, le=_LARGEST)
    mode: float = Field(description="most likely value", ge=0, le=_LARGEST)
    high: float = _size("largest value")

    @model_validator(mode="after")
    def _ordered(self) -> Triangular:
        if not self.low <= self.mode <= self.high or self.low == self.high:
            raise ValueError("should be low <= mode <= high, and low below high")
        return self

    def quantile(self, u: Numbers) -> Numbers:
        span, left = self.high - self.low, self.mode - self.low
        cut = left / span
        rising = self.low + np.sqrt(u * span * left)
        falling = self.high - np.sqrt((1 - u) * span * (span - left))
        return np.where(u < cut, rising, falling)

    def below(self, x: float) -> float:
        if x >= self.high:
            return 1.0
        span = self.high - self.low
        if x < self.mode:
            return max(0.0, x - self.low) ** 2 / (span * (self.mode - self.low))
        return 1 - (self.high - x) ** 2 / (span * (self.high - self.mode))

    def mean_up_to(self, x: float) -> float:
        if x <= self.low:
            return x
        if x >= self.high:
            return self.average()
        span = self.high - self.low
        if x < self.mode:
            return x - (x - self.low) ** 3 / (span * (self.mode - self.low)) / 3
        return self.average() - (self.high - x) ** 3 / (span * (self.high - self.mode)) / 3

    def average(self) -> float:
        return (self.low + self.mode + self.high) / 3


class Empirical(Table):
    """Values as a log gave them, each equally likely."""

    law: Literal["empirical"]
    values: tuple[Annotated[float, Field(ge=0, le=_LARGEST)], ...] = Field(
        description="measured values", min_length=1, max_length=100_000
    )

    def quantile(self, u: Numbers) -> Numbers:
        ordered = np.sort(np.asarray(self.values, dtype=np.float64))
        return ordered[np.minimum((u * len(ordered)).astype(np.int64), len(ordered) - 1)]

    def below(self, x: float) -> float:
        return float(np.mean(np.asarray(self.values) <= x))

    def mean_up_to(self, x: float) -> float:
        return float(np.mean(np.minimum(self.values, x)))

    def average(self) -> float:
        return float(np.mean(self.values))


def lognormal(mean: float, sd: float) -> Lognormal:
    """For defaults of fields."""
    return Lognormal(law="lognormal", mean=mean, sd=sd)


def _number_means_constant(value: Any) -> Any:
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        return {"law": "constant", "mean": value}
    if isinstance(value, dict) and "law" not in value and set(value) == {"mean"}:
        return {"law": "constant", **value}
    return value


AnyLaw = Constant | Exponential | Weibull | Lognormal | Gamma | Uniform | Triangular | Empirical

LAWS: dict[str, type[Table]] = {
    get_args(cls.model_fields["law"].annotation)[0]: cls for cls in get_args(AnyLaw)
}
"""Name of a law -> its table."""

Law = Annotated[
    Annotated[AnyLaw, Field(discriminator="law")], BeforeValidator(_number_means_constant)
]

_LAWS: TypeAdapter[AnyLaw] = TypeAdapter(Law)


def law_of(value: Any) -> AnyLaw | None:
    """The law that a file writes as *value* (a number or a mapping); None where it is none."""
    try:
        return _LAWS.validate_python(value)
    except ValidationError:
        return None
