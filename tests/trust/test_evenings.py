"""That a forecast's band holds what the line makes by the evening as often as it says."""

from __future__ import annotations

from tests.line.calm_line import calm, stop
from tests.trust.evenings import BAND, evenings


def test_a_band_of_ninety_holds_nine_of_ten() -> None:
    """On a quick line whose wrapper jams; so few evenings tell a band that holds half of them."""
    jam = stop(
        "wrapper",
        every_reams={"law": "exponential", "mean": 60},
        restore_min={"law": "exponential", "mean": 1.5},
    )
    line = calm(start={"state": "as_found", "run_in_h": 0.2}, stop=[jam])
    found = evenings(line, cases=10, runs=19, hours=0.2)
    assert found.held.n == 10
    assert found.held.low < BAND <= found.held.high
    assert found.more.contains(0)
