"""Values repeated in parts."""

import numpy as np
import pytest

from linesim.record import record
from linesim.record.record import repeated


@pytest.mark.parametrize("size", [0, 1, 9, 10, 25])
def test_values_are_repeated_alike_in_any_parts(size: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(record, "_AT_ONCE", 10)
    values = np.arange(size, dtype=np.int64) * 7
    counts = np.arange(size, dtype=np.int64) % 4
    np.testing.assert_array_equal(repeated(values, counts), np.repeat(values, counts))
