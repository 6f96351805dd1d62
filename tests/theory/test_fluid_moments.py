"""The integrals under the fluid solver, on both sides of its switch to a series."""

import math

import pytest
from scipy.integrate import quad

from linesim.studies.two_station_fluid import _integral, _moment


@pytest.mark.parametrize("size", [0.5, 3.0])
@pytest.mark.parametrize("exponent", [-4.0, -1e-2, -3e-4, -1e-9, 0.0, 1e-9, 3e-4, 1e-2, 4.0])
def test_integrals_by_quadrature(exponent: float, size: float) -> None:
    """A mode is scaled to 1 at the end of the buffer where it is largest."""
    largest_at = size if exponent > 0 else 0.0

    def mode(x: float) -> float:
        return math.exp(exponent * (x - largest_at))

    assert _integral(abs(exponent), size) == pytest.approx(quad(mode, 0, size)[0], rel=1e-10)
    moment = quad(lambda x: x * mode(x), 0, size)[0]
    assert _moment(exponent, size) == pytest.approx(moment, rel=1e-9)
