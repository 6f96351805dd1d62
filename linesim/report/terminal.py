"""The report of a run as text that can be pasted in a mail: no colour needed, 100 columns."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from rich.console import Console
from rich.table import Table

from linesim.record.states import State
from linesim.report import words
from linesim.report.plain import (
    CAUTIONS,
    INVENTED,
    WIDTH,
    counting_notice,
    plain_table,
    station_name,
)
from linesim.report.start_words import start_words
from linesim.statistics import Interval, counted, rough
from linesim.studies import Replicated, RunFigures
from linesim.studies.figures import LINE
from linesim.version import __version__

_COLUMNS = 5
_CAUSES = 5
_BAR = 24
_FACTORS = ("availability", "performance", "quality", "oee")


def print_report(result: Replicated, console: Console) -> None:
    """Print what the replications gave."""
    console.print(words.headline(result))
    console.print(words.constraint_sentence(result))
    console.print(_interval_note(result))
    _heading(console, "Measures of the line")
    console.print(_measures(result))
    _heading(console, "From planned time to good output (six big losses), line")
    console.print(_staircase(result))
    console.print(_reference_note(result))
    _heading(console, "Effectiveness of each station, at its own rated speed")
    console.print(_effectiveness(result))
    _heading(console, "The six big losses of each station, hours")
    for table in _station_losses(result):
        console.print(table)
    _heading(console, "Where the hours went, by state")
    for table in _states(result):
        console.print(table)
    _heading(console, "What the hours were lost for, largest first")
    console.print(_causes(result))
    _heading(console, "Where the paper went")
    console.print(_paper(result))
    console.print(words.balance_sentence(result))
    console.print()
    for line in closing_lines(result):
        console.print(line)


def closing_lines(result: Replicated) -> Iterator[str]:
    """Cautions, and what is needed to get the same figures again."""
    yield start_words(result.scenario)
    notice = counting_notice(result.scenario)
    if notice:
        yield f"Note: {notice}"
    if result.scenario.line.invented:
        yield f"Note: {INVENTED}"
    for caution in CAUTIONS:
        yield f"Caution: {caution}"
    count = len(result.runs)
    stopped = f" (stopped early; {result.asked} were asked for)" if result.interrupted else ""
    yield (
        f"linesim {__version__}, seed {result.seed}, {counted(count, 'run')}{stopped} of"
        f" {rough(result.runs[0].hours)} h."
    )


def _interval_note(result: Replicated) -> str:
    count = len(result.runs)
    if count < 2:
        return f"({words.NO_INTERVAL}.)"
    return f"(Mean of {count} runs ± half width of the {100 * result.level:.0f} % interval.)"


def _reference_note(result: Replicated) -> str:
    return (
        f"The line is measured at its output, against the rated speed of its"
        f" {station_name(result.scenario, result.runs[0].reference)}"
        f" (ISO 22400-2; losses after Nakajima 1988). {words.how_judged(result)}"
    )


def _heading(console: Console, text: str) -> None:
    console.print()
    console.print(text)
    console.print("-" * min(len(text), WIDTH))


def _measures(result: Replicated) -> Table:
    rate = result.measure("good_reams_per_hour")
    meaning = {
        "availability": "actual production time / planned busy time",
        "performance": "planned run time of what was made / actual production time",
        "quality": "good / produced",
        "oee": "product of the three",
        "waste_fraction": "paper not in good reams / paper used",
    }
    table = Table(box=None, show_header=False, pad_edge=False)
    table.add_column()
    table.add_column(justify="right")
    table.add_column(overflow="fold")
    table.add_row("good reams per hour", rate.text(), "")
    for name, text in meaning.items():
        label = {"oee": "OEE", "waste_fraction": "paper wasted"}.get(name, name)
        table.add_row(label, words.percent(result.measure(name)), text)
    return table


def _staircase(result: Replicated) -> Table:
    steps = result.over_table(lambda run: run.losses_h[LINE], "h")
    whole = steps["planned busy time"].mean
    table = plain_table("step", ["hours", "%"])
    table.add_column("", no_wrap=True)
    for name, value in steps.items():
        if name == "counted time":
            continue
        share = value.mean / whole if whole else 0.0
        bar = "" if name == "planned stops" else _bar(share)
        whole_step = name in ("planned stops", "planned busy time", "good output")
        label = name if whole_step else f"  - {name}"
        table.add_row(label, words.hours(value), _share(result, name), bar)
    return table


def _share(result: Replicated, step: str) -> str:
    def share(run: RunFigures) -> float:
        whole = run.losses_h[LINE]["planned busy time"]
        return run.losses_h[LINE][step] / whole if whole else 0.0

    return result.over_runs(share, "1").text(100)


def _bar(share: float) -> str:
    return "#" * round(_BAR * min(1.0, max(0.0, share)))


def _effectiveness(result: Replicated) -> Table:
    table = plain_table(
        "station", ["rated reams/min", "availability", "performance", "quality", "OEE"]
    )
    for name in result.runs[0].effectiveness:
        if name == LINE:
            continue
        cells = [words.rated_speed(result, name) or "-"]
        for factor in _FACTORS:
            cells.append(_factor(result, name, factor))
        table.add_row(name, *cells)
    return table


def _factor(result: Replicated, station: str, factor: str) -> str:
    if result.runs[0].effectiveness[station][factor] is None:
        return "-"
    return words.percent(
        result.over_runs(lambda run: run.effectiveness[station][factor] or 0.0, "1")
    )


def _in_columns(
    result: Replicated,
    stations: Sequence[str],
    pick: Callable[[RunFigures, str], Mapping[str, float]],
    rows: Sequence[str],
) -> Iterator[Table]:
    """Tables with stations side by side, a few at a time; rows of nothing but 0 are left out."""
    for start in range(0, len(stations), _COLUMNS):
        some = stations[start : start + _COLUMNS]
        values = {name: _table(result, pick, name) for name in some}
        table = plain_table("hours", some)
        for row in rows:
            cells = [values[name].get(row) for name in some]
            if all(cell is None or cell.mean == 0 for cell in cells):
                continue
            table.add_row(row, *("0" if cell is None else words.hours(cell) for cell in cells))
        yield table


def _table(
    result: Replicated, pick: Callable[[RunFigures, str], Mapping[str, float]], name: str
) -> dict[str, Interval]:
    return result.over_table(lambda run: pick(run, name), "h")


def _station_losses(result: Replicated) -> Iterator[Table]:
    first = result.runs[0].losses_h
    names = [name for name in first if name != LINE]
    rows = [row for row in first[LINE] if row != "counted time"]
    return _in_columns(result, names, lambda run, name: run.losses_h[name], rows)


def _shown_stations(result: Replicated) -> list[str]:
    parts = result.runs[0].parts_of_sheeter
    return [name for name in result.runs[0].state_hours if name not in parts]


def _states(result: Replicated) -> Iterator[Table]:
    rows = [state.words for state in State]
    return _in_columns(
        result, _shown_stations(result), lambda run, name: run.state_hours[name], rows
    )


def _causes(result: Replicated) -> Table:
    table = plain_table("station", [])
    table.add_column("cause", overflow="fold")
    table.add_column("hours", justify="right")
    for name in _shown_stations(result):
        values = words.hours_by_cause(result, name)
        ordered = sorted(values.items(), key=lambda item: (-item[1].mean, item[0]))
        label = name
        for cause, value in ordered[:_CAUSES]:
            if value.mean > 0:
                table.add_row(label, cause, words.hours(value))
                label = ""
    return table


def _paper(result: Replicated) -> Table:
    values = result.over_table(lambda run: run.paper_kg, "kg")
    shares = result.over_table(_shares_of_paper, "1")
    table = plain_table("paper", ["kg", "% of paper used"])
    for name in sorted(values, key="still on the line".__eq__):
        value = values[name]
        if value.mean or name == "in good reams":
            share = shares[name].text(100) if name in shares else ""
            table.add_row(name, value.text(), share)
    return table


def _shares_of_paper(run: RunFigures) -> dict[str, float]:
    """Every part of the paper used, without what is still on the line."""
    parts = {name: kg for name, kg in run.paper_kg.items() if name != "still on the line"}
    used = sum(parts.values())
    return {name: kg / used if used else 0.0 for name, kg in parts.items()}


def print_audit(result: Replicated, console: Console) -> None:
    """Print what was checked in every run, and each fault found."""
    _heading(console, f"Audit of {counted(len(result.runs), 'run')}")
    for number, check in enumerate(result.runs[0].checks):
        bad = [
            f"run {run.replication}: {fault}"
            for run in result.runs
            for fault in run.checks[number].faults
        ]
        console.print(f"{'FAULT' if bad else 'ok   '} {check.what}")
        for fault in bad:
            console.print(f"      {fault}")
