"""Laws that hold on every legal line; each check answers with what it found wrong, in words."""

from __future__ import annotations

from functools import lru_cache
from random import Random
from typing import Any

from linesim.fast import simulate
from linesim.record import Record
from linesim.record.audit import audit
from linesim.scenario import Scenario, check_mapping, check_text
from linesim.scenario.stops import METERS
from linesim.scenario.writing import dump
from tests.line.any_line import any_forced, any_handled, any_paced, any_packed
from tests.line.bought_reels import any_bought
from tests.line.manned_lines import any_manned, any_walking
from tests.trust.runs_alike import DAY_H, H, back, history_digest, summary_digest, what_differs
from tests.trust.wider_line import Tables, any_wider_tables, scenario_of

HOURS = 0.6
WEEK_H = 168
_LAWS = (*METERS, "restore_min", "change_min", "prepare_min", "rewrap_min", "pick_s")
_LISTS = ("stop", "planned_work", "break")


def run(scenario: Scenario, seed: int, **how: Any) -> Record:
    """One run of ``HOURS``, unless told otherwise, with stops that somebody asks for."""
    warm_up_h = (0.0, 0.4)[seed % 2]
    forced = any_forced(seed, scenario)
    given: dict[str, Any] = {"hours": HOURS, "forced": forced, "warm_up_h": warm_up_h}
    return simulate(scenario, seed=seed, **(given | how))


@lru_cache(maxsize=1)
def base(seed: int) -> tuple[Tables, Scenario, Record]:
    """The line of this seed and its run, which several laws look at. Every other has a warm-up."""
    tables = any_wider_tables(seed)
    scenario = scenario_of(tables)
    return tables, scenario, run(scenario, seed)


def both_digests(seed: int) -> tuple[str, str]:
    """Digests of the sums and of the history of the run of this seed."""
    record = base(seed)[2]
    return summary_digest(record), history_digest(record)


# -- the laws --------------------------------------------------------------------------------


def books_and_accounts(seed: int) -> list[str]:
    """Books balance to the sheet, spans have no gap, losses add up to planned time exactly.

    A run that keeps sums only says the same.
    """
    _, scenario, record = base(seed)
    found = [f"{check.what}: {fault}" for check in audit(record) for fault in check.faults]
    books = record.books
    for book in (books.paper, books.sheets, books.reams):
        for name, value in vars(book).items():
            figures = value.values() if isinstance(value, dict) else [value]
            found += [f"{name} is {figure}" for figure in figures if figure < 0]
    if any(ns <= 0 for ns in record.sums.values()):
        found.append("a span without length")
    bare = run(scenario, seed, history=False)
    if summary_digest(bare) != summary_digest(record):
        found.append(f"without history: other {what_differs(bare, record)}")
    return found


def to_the_pallet(seed: int) -> list[str]:
    """All of that with cartons and pallets behind the wrappers: reams balance to the pallet."""
    scenario = any_packed(seed)
    record, bare = run(scenario, seed), run(scenario, seed, history=False)
    found = [f"{check.what}: {fault}" for check in audit(record) for fault in check.faults]
    book = record.books.cartons
    assert book is not None
    found += [f"{name} is {figure}" for name, figure in vars(book).items() if figure < 0]
    if summary_digest(bare) != summary_digest(record):
        found.append(f"without history: other {what_differs(bare, record)}")
    return found


def reels_brought(seed: int) -> list[str]:
    """All of that where webs share spare stands, or trucks bring the reels, or both."""
    return _paper_balances(any_handled(seed), seed)


def reels_bought(seed: int) -> list[str]:
    """All of that with widths as bought, bad reels, joints at places, part reels taken again."""
    return _paper_balances(any_bought(seed), seed)


def _paper_balances(scenario: Scenario, seed: int) -> list[str]:
    record, bare = run(scenario, seed), run(scenario, seed, history=False)
    found = [f"{check.what}: {fault}" for check in audit(record) for fault in check.faults]
    paper = record.books.paper
    found += [f"{um} um" for um in (paper.at_start, paper.butts, paper.at_end) if um < 0]
    if summary_digest(bare) != summary_digest(record):
        found.append(f"without history: other {what_differs(bare, record)}")
    return found


def kept_down(seed: int) -> list[str]:
    """All of that where webs are brought up by hand, and follow the level of the bridge."""
    scenario = any_paced(seed)
    record, bare = run(scenario, seed), run(scenario, seed, history=False)
    found = [f"{check.what}: {fault}" for check in audit(record) for fault in check.faults]
    if any(ns <= 0 for ns in record.sums.values()):
        found.append("a span without length")
    if summary_digest(bare) != summary_digest(record):
        found.append(f"without history: other {what_differs(bare, record)}")
    return found


def people_in_groups(seed: int) -> list[str]:
    """All of that where people come on some shifts, for some work.

    Were all there on every shift, to do everything, the line would not know groups from one crew.
    """
    return _of_people(any_manned(seed), seed)


def people_walk(seed: int) -> list[str]:
    """All of that where people walk; twice as far and twice as fast, it is the same."""
    scenario = any_walking(seed)
    found = _of_people(scenario, seed)
    one, other = run(scenario, seed), run(_the_same_ways(scenario), seed)
    if summary_digest(one) != summary_digest(other):
        found.append(f"twice as far, twice as fast: other {what_differs(one, other)}")
    return found


def _of_people(scenario: Scenario, seed: int) -> list[str]:
    record, bare = run(scenario, seed), run(scenario, seed, history=False)
    found = [f"{check.what}: {fault}" for check in audit(record) for fault in check.faults]
    if summary_digest(bare) != summary_digest(record):
        found.append(f"without history: other {what_differs(bare, record)}")
    everybody = scenario.varied(
        crew={"size": scenario.crew.size + sum(group.number for group in scenario.crew_group)},
        crew_group=(),
    )
    in_groups = scenario.varied(
        crew_group=[{"name": group.name, "number": group.number} for group in scenario.crew_group]
    )
    one, other = run(everybody, seed), run(in_groups, seed)
    if summary_digest(one) != summary_digest(other):
        found.append(f"all-round groups: other {what_differs(one, other)}")
    return found


def _the_same_ways(scenario: Scenario) -> Scenario:
    """Twice as long, walked twice as fast."""
    speed = scenario.crew.walk_m_per_s
    assert speed is not None
    return scenario.varied(
        crew={"walk_m_per_s": 2 * speed},
        station_place=[{"name": p.name, "at_m": 2 * p.at_m} for p in scenario.station_place],
    )


def moved_by_weeks(seed: int) -> list[str]:
    """A calendar moved by whole weeks moves the run and changes nothing else.

    The line stands on the first day, or on the first eight: from then on all is the same, a week
    later. Left out are causes that fall due by the clock, for they go on while the line stands.
    The date at which the run starts is for reports alone.
    """
    tables = any_wider_tables(seed)
    for stop in tables["stop"]:
        if "every_clock_h" in stop:
            stop["every_running_h"] = stop.pop("every_clock_h")
    forced = any_forced(seed, scenario_of(tables))
    weeks = 1 + seed % 3

    def moved(by_weeks: int) -> Record:
        free = {"name": "closed", "day": 1, "days": 1 + 7 * by_weeks}
        works = [w | {"start_h": w["start_h"] + by_weeks * WEEK_H} for w in _works(tables)]
        calendar = tables.get("calendar", {}) | {"starts": f"2026-03-{2 + 7 * by_weeks:02} 06:00"}
        later = DAY_H + by_weeks * WEEK_H
        changed = {"holiday": [free], "planned_work": works, "calendar": calendar}
        if "order" in tables:
            changed["order"] = [_released_later(order, later) for order in tables["order"]]
        return simulate(
            check_mapping(tables | changed),
            seed=seed,
            hours=HOURS,
            warm_up_h=later,
            forced=[f.model_copy(update={"at_h": round(f.at_h, 4) + later}) for f in forced],
        )

    early, late = moved(0), moved(weeks)
    by = weeks * WEEK_H * H
    return [f"other {name}" for name in what_differs(early, back(late, by))]


def _released_later(order: Tables, hours: float) -> Tables:
    """An order whose release, if it waits for one, is so many hours later; due is no matter."""
    order = {name: value for name, value in order.items() if name != "due_h"}
    if "released_h" in order:
        order["released_h"] += hours
    return order


def _works(tables: Tables) -> list[Tables]:
    """Planned work from the second day on."""
    return [w | {"start_h": w["start_h"] + DAY_H} for w in tables.get("planned_work", [])]


def written_another_way(seed: int) -> list[str]:
    """The same quantity written in another way gives the same run.

    A field has one unit, which stands in its name; but a number may be whole or not, plain or as
    a law, a default spelled out or left out, places given or worked out of length and pitch,
    and a constant interval counted in cuts or in km of web.
    """
    tables, scenario, record = base(seed)
    ways = {
        "every default spelled out": check_mapping(
            scenario.model_dump(by_alias=True, exclude_none=True)
        ),
        "written out and read again": check_text(dump(scenario)),
        "numbers with a point, constants as laws, keys from the last to the first": check_mapping(
            _otherwise(tables)
        ),
    }
    found = [f"{how}: another scenario" for how, other in ways.items() if other != scenario]
    by_length = check_mapping(_by_length(tables, scenario))
    differ = what_differs(record, run(by_length, seed))
    return found + [f"places from length and pitch: other {name}" for name in differ]


def _otherwise(tables: Tables) -> Tables:
    def other(name: str, value: Any) -> Any:
        if isinstance(value, dict):
            return {key: other(key, each) for key, each in reversed(list(value.items()))}
        if isinstance(value, list):
            return [other(name, each) for each in value]
        if name in _LAWS:
            return {"law": "constant", "mean": float(value)}
        if isinstance(value, int) and not isinstance(value, bool):
            decimal = name.rpartition("_")[2] in ("mm", "m", "um", "h", "kg", "min", "m2", "s")
            return float(value) if decimal else value
        return value

    return dict(other("", tables))


def _by_length(tables: Tables, scenario: Scenario) -> Tables:
    if scenario.bridge_places % scenario.bridge.tracks:
        return tables  # places that no length gives
    bridge = {name: value for name, value in tables["bridge"].items() if name != "places"}
    return tables | {"bridge": bridge | {"length_m": scenario.bridge_length_m}}


def in_cuts_or_in_km(seed: int) -> list[str]:
    """A constant interval in cuts, or in the length of as many cuts, falls due at the same cut.

    On lines on which no cut is lost half made: no web breaks, nothing spoils the web. They start
    new: what is left of an interval in km when a run starts is no whole number of cuts.
    """
    luck = Random(seed)
    tables = any_wider_tables(seed)
    tables.pop("order", None)
    tables.pop("changeover", None)
    tables["start"] = {"state": "new"}
    tables["web_path"] |= {"breaks_per_100_reels": 0, "break_chance_at_splice": 0}
    tables["web_path"] |= {"break_chance_at_joint": 0, "break_chance_at_restart": 0}
    tables["unwind"]["splice_fail_chance"] = 0
    for grade in tables.get("grade", ()):
        grade.pop("breaks_per_100_reels", None)
    for stop in tables["stop"]:
        stop.pop("spoils_web_m", None)
    cuts = luck.choice([700, 5000])
    length_mm = tables["product"]["sheet_length_mm"]
    often = {"cause": "counted", "station": luck.choice(["cutter", "gate"]), "restore_min": 0.5}
    often["people"] = min(1, tables["crew"]["size"])
    records = [
        run(scenario_of(tables | {"stop": [*tables["stop"], often | meter]}), seed)
        for meter in ({"every_cuts": cuts}, {"every_web_km": cuts * length_mm / 1e6})
    ]
    return [f"other {name}" for name in what_differs(*records)]


def order_of_the_lists(seed: int) -> list[str]:
    """In what order causes, planned work, breaks and forced stops are listed is no matter."""
    tables, scenario, record = base(seed)
    luck = Random(seed)
    mixed = dict(tables)
    for name in _LISTS:
        if name in tables:
            mixed[name] = luck.sample(tables[name], len(tables[name]))
    forced = any_forced(seed, scenario)[::-1]
    other = run(scenario_of(mixed), seed, forced=forced)
    return [f"other {name}" for name in what_differs(record, other)]
