"""How counts become kilometres of web and hours in which the webs and the wrappers move.

A plant that counts reams knows its web, too: sheets make a ream, one cut drops a sheet of every web
into every pocket, and each cut is as long as a sheet. What that leaves out is what the webs lose
before it is a good ream, and that they move slower than rated on run-up, near splices and while the
bridge is full. Nor do counts say which of several wrappers wrapped what. All of that is taken from
a day of the scenario, run once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from linesim import paper
from linesim.fast import simulate
from linesim.record import Record
from linesim.record.states import PRODUCING
from linesim.scenario import Scenario
from linesim.scenario.goods import limit
from linesim.scenario.stops import WEB_STATIONS

_RUN_H = 24.0
"""Repeated days of the demo lines differ by 0.1 to 0.3 %."""
_SEED = 1


@dataclass(frozen=True)
class Pace:
    """Web and time for what is counted.

    ``net_km_per_ream`` is what a ream holds, km of one web; ``waste`` the share that comes on top
    (0.01: one per cent). ``rated_h_per_km`` is at rated speed; ``slower`` the share by which the
    webs move longer than that.
    """

    net_km_per_ream: float
    rated_h_per_km: float
    km_per_cut: float
    waste: float = 0.0
    slower: float = 0.0
    wrapping_h: Mapping[str, float] = field(default_factory=dict)
    """Hours in which each wrapper runs for a good ream of the line, by name."""

    @property
    def km_per_ream(self) -> float:
        """Web that passes the knives for a good ream, km of one web."""
        return self.net_km_per_ream * (1 + self.waste)

    @property
    def h_per_km(self) -> float:
        return self.rated_h_per_km * (1 + self.slower)


def rated_pace(scenario: Scenario) -> Pace:
    """By geometry and rated speed alone: no waste, no slowing."""
    product = scenario.product
    cuts = paper.cuts_per_ream(product.sheets_per_ream, scenario.unwind.webs).cuts
    km_per_cut = product.sheet_length_mm / 1e6
    speed = min(scenario.cutter.web_speed_m_per_min, limit(scenario, None, "web_speed_m_per_min"))
    per_h = 60 * sum(each.rate_reams_per_min for each in scenario.wrapper)
    return Pace(
        cuts * km_per_cut / scenario.slitter.lanes,
        1000 / speed / 60,
        km_per_cut,
        wrapping_h={each.name: 1 / per_h for each in scenario.wrapper},
    )


def pace_of(scenario: Scenario) -> Pace:
    """With the waste, the slowing and the wrappers' hours of a day of the scenario.

    Where it makes several products, or makes nothing in a day, :func:`rated_pace`.
    """
    rated = rated_pace(scenario)
    if scenario.order:
        return rated
    run = simulate(scenario, seed=_SEED, hours=_RUN_H, history=False)
    km, reams = run.books.web_um / 1e9, run.books.reams.good
    moving_h = _producing_h(run, WEB_STATIONS[0])
    wrapping_h = {each.name: _producing_h(run, each.name) for each in scenario.wrapper}
    if not km or not reams or not moving_h:
        return rated
    return replace(
        rated,
        waste=max(0.0, km / (reams * rated.net_km_per_ream) - 1),
        slower=max(0.0, moving_h / (km * rated.rated_h_per_km) - 1),
        wrapping_h={name: hours / reams for name, hours in wrapping_h.items()},
    )


def _producing_h(run: Record, station: str) -> float:
    return sum(run.hours_in(run.station(station), state) for state in PRODUCING)


def pace_words(pace: Pace, *, from_reams: bool) -> list[str]:
    """Where kilometres and hours of the webs come from, and what remains in doubt."""
    words = []
    if from_reams:
        words.append(
            "Kilometres of web are not counted here, so they follow from the reams:"
            f" {1000 * pace.net_km_per_ream:.3g} m of every web for a ream, and"
            f" {100 * pace.waste:.2g} % more for what does not become a good one. If the plant"
            " wastes more, intervals in kilometres, cuts and hours of the webs are longer by as"
            " much."
        )
    words.append(
        "Hours in which the webs move are their kilometres at rated speed and"
        f" {100 * pace.slower:.2g} % more for run-up and slowing, as in a day of the scenario, so"
        " waiting is left out. Where its speeds and levels are not the plant's, these hours are off"
        " by as much as that share."
    )
    return words
