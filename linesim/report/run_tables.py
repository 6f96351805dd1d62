"""Where hours and paper of many runs went: rows in words, for the terminal and for the page."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from linesim.record.states import State, station_words
from linesim.report import words
from linesim.report.answers.cells import Column
from linesim.report.answers.tables import AnswerTable
from linesim.report.plain import station_name
from linesim.studies import Replicated, RunFigures
from linesim.studies.energy import energy_use, stations_with_energy
from linesim.studies.figures import GOOD_REAMS

FACTORS = ("availability", "performance", "quality", "oee")
CAUSES = 5
"""So many causes of each station are told."""
_COLUMNS = 5
_ON_LINE = "still on the line"
KWH_PER_1000 = "kWh per 1,000 good reams"
ENERGY_COLUMNS = ("kWh", KWH_PER_1000, "% drawn while nothing is made")
PRODUCTS = "Effectiveness by product, against the station that is slowest for it"
PRODUCTS_NOTE = (
    "The time of a product is that from when the line is ready for it to when it is ready for"
    " another: the change-over after it is in it. All products together are the line."
)
Rows = list[tuple[str, ...]]


def effectiveness_rows(result: Replicated) -> Rows:
    """Of the line and of each station its factors, ``-`` where it has none."""

    def cell(name: str, factor: str) -> str:
        found = words.factor(result, name, factor)
        return "-" if found is None else words.percent(found)

    names = result.runs[0].effectiveness
    return [(name, *(cell(name, factor) for factor in FACTORS)) for name in names]


PRODUCT_COLUMNS = ("good reams", "availability", "performance", "quality", "OEE")
"""Headings beside the products of :func:`product_rows`."""


def product_rows(result: Replicated) -> Rows:
    """Of each product its good reams and the factors of the line; ``-`` where a run made none."""

    def cells(name: str) -> Iterator[str]:
        made = [run.products.get(name, {}) for run in result.runs]
        yield result.estimate([each.get(GOOD_REAMS) or 0.0 for each in made], "reams").text()
        for factor in FACTORS:
            values = [value for each in made if (value := each.get(factor)) is not None]
            every = len(values) == len(made)
            yield words.percent(result.estimate(values, "1")) if every else "-"

    names = dict.fromkeys(name for run in result.runs for name in run.products)
    return [(name, *cells(name)) for name in names]


def product_table(result: Replicated) -> AnswerTable | None:
    """The same as a table; None where there are no orders."""
    rows = product_rows(result)
    if not rows:
        return None
    heads = ("product", *PRODUCT_COLUMNS)
    columns = tuple(Column(head, left=not place) for place, head in enumerate(heads))
    return AnswerTable("products", PRODUCTS, columns, tuple(rows))


def side_by_side(
    result: Replicated,
    stations: Sequence[str],
    pick: Callable[[RunFigures, str], Mapping[str, float]],
    rows: Sequence[str],
) -> Iterator[tuple[Sequence[str], Rows]]:
    """Some of the stations and the hours of each, a few at a time; rows of only 0 are left out."""
    for start in range(0, len(stations), _COLUMNS):
        some = stations[start : start + _COLUMNS]
        tables = [result.over_table(lambda run, name=name: pick(run, name), "h") for name in some]  # type: ignore[misc]
        found: Rows = []
        for row in rows:
            cells = [table.get(row) for table in tables]
            if any(cell is not None and cell.mean for cell in cells):
                said = ("0" if cell is None else words.hours(cell) for cell in cells)
                found.append((row, *said))
        yield [station_name(result.scenario, name) for name in some], found


def state_tables(result: Replicated) -> Iterator[tuple[Sequence[str], Rows]]:
    """Stations side by side, and their hours in each state."""
    states = [state.words for state in State]
    return side_by_side(
        result, _shown_stations(result), lambda run, name: run.state_hours[name], states
    )


def cause_rows(result: Replicated) -> Rows:
    """Station, cause and hours lost, the largest of each station."""
    rows: Rows = []
    for name in _shown_stations(result):
        values = words.hours_by_cause(result, name)
        ordered = sorted(values.items(), key=lambda item: (-item[1].mean, item[0]))
        some = [(cause, value) for cause, value in ordered[:CAUSES] if value.mean > 0]
        shown = station_name(result.scenario, name)
        rows += [(shown, cause, words.hours(value)) for cause, value in some]
    return rows


def paper_rows(result: Replicated) -> Rows:
    """Where paper went, kg and % of the paper used; what is on the line still is not used."""

    def shares(run: RunFigures) -> dict[str, float]:
        parts = {name: kg for name, kg in run.paper_kg.items() if name != _ON_LINE}
        used = sum(parts.values())
        return {name: kg / used if used else 0.0 for name, kg in parts.items()}

    kg = result.over_table(lambda run: run.paper_kg, "kg")
    parts = result.over_table(shares, "1")
    rows: Rows = [
        (name, kg[name].text(), parts[name].text(100) if name in parts else "-")
        for name in sorted(kg, key=_ON_LINE.__eq__)
        if kg[name].mean or name == "in good reams"
    ]
    avoidable = result.over_runs(lambda run: run.avoidable_waste_kg, "kg")
    of_reams = result.over_runs(_trim_and_surplus_kg, "kg")
    for words_of, mass, name in (
        ("lost: avoidable waste, in all", avoidable, "avoidable_waste_fraction"),
        ("lost: trim and surplus of good reams, in all", of_reams, "trim_and_surplus_fraction"),
    ):
        rows.append((words_of, mass.text(), result.measure(name).text(100)))
    return rows


def _trim_and_surplus_kg(run: RunFigures) -> float:
    apart = ("in good reams", _ON_LINE)
    lost = sum(kg for name, kg in run.paper_kg.items() if name not in apart)
    return lost - run.avoidable_waste_kg


def energy_rows(result: Replicated) -> Rows:
    """Of each station with its power given, and of all: kWh, per 1,000 good reams, % standing."""
    names = stations_with_energy(result)
    several = [("all of these", names)] if len(names) > 1 else []
    rows: Rows = []
    for label, stations in [*((station_words(name), [name]) for name in names), *several]:
        use = energy_use(result, stations)
        per_1000, standing = use.per_1000_reams, use.standing
        rows.append(
            (
                label,
                use.kwh.together.text(),
                "-" if per_1000 is None else per_1000.together.text(),
                "-" if standing is None else standing.together.text(100),
            )
        )
    return rows


def _shown_stations(result: Replicated) -> list[str]:
    parts = result.runs[0].parts_of_sheeter
    return [name for name in result.runs[0].state_hours if name not in parts]
