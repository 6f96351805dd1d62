"""Energy that the stations drew, by what they did meanwhile.

A station draws one power while it runs, slowed too, and another while it stands. So energy follows
from the accounts of states and changes nothing on the line. Sums are exact fractions: those by
state add up to the whole.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from linesim.record.record import Record
from linesim.record.states import PRODUCING, State
from linesim.scenario import WEB_STATIONS, Scenario
from linesim.scenario.fields import Powered
from linesim.scenario.units import HOUR

KWH_PER_1000_REAMS = "kwh_per_1000_reams"
"""Name of the measure in files and tables: of 1,000 good reams of the line."""


@dataclass(frozen=True)
class StationEnergy:
    """What one station drew, kWh by state; states that it was never in are left out."""

    station: str
    kwh_by_state: dict[State, Fraction]

    @property
    def kwh(self) -> Fraction:
        return sum(self.kwh_by_state.values(), Fraction(0))

    @property
    def standing_kwh(self) -> Fraction:
        """What it drew while it made nothing."""
        return self.kwh - sum(self.kwh_by_state.get(state, Fraction(0)) for state in PRODUCING)


def station_powers(scenario: Scenario) -> dict[str, tuple[float, float]]:
    """kW running and kW standing of each station whose power is given, as the paper moves."""
    # A station that moves with the webs may have no table of its own.
    names = (*WEB_STATIONS, "transfer", "bridge")
    before = {name: getattr(scenario, name, None) for name in names}
    wrappers = {wrapper.name: wrapper for wrapper in scenario.wrapper}
    behind = scenario.tables_behind
    return {
        name: (table.kw_running, table.kw_standing)
        for name, table in (before | wrappers | behind).items()
        if isinstance(table, Powered)
        and table.kw_running is not None
        and table.kw_standing is not None
    }


def station_energy(record: Record) -> tuple[StationEnergy, ...]:
    """Energy in the counted time of each station whose power is given, as the paper moves.

    >>> from linesim import simulate
    >>> from linesim.scenario import check_mapping
    >>> line = check_mapping({"cutter": {"kw_running": 40, "kw_standing": 4}})
    >>> cutter, = station_energy(simulate(line, seed=1, hours=1))
    >>> 4 < cutter.kwh < 40
    True
    """
    found: dict[int, dict[State, Fraction]] = {}
    powers = station_powers(record.scenario)
    for (station, number, *_), ns in sorted(record.sums.items()):
        if record.stations[station] not in powers:
            continue
        state, (running, standing) = State(number), powers[record.stations[station]]
        kw = Fraction(running if state in PRODUCING else standing)
        by_state = found.setdefault(station, {})
        by_state[state] = by_state.get(state, Fraction(0)) + kw * ns / HOUR
    return tuple(
        StationEnergy(record.stations[station], by_state)
        for station, by_state in sorted(found.items())
    )
