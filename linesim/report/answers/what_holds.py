"""What holds the line, in words, tables and charts: the answer of ``what-holds``."""

from __future__ import annotations

from linesim.report.answers.answer import (
    AnswerContent,
    AnswerTable,
    Chart,
    Column,
    change,
    faster_but_less_words,
    figure,
    plus,
)
from linesim.report.answers.charts import Bar, Bars
from linesim.report.plain import station_name, the_station
from linesim.scenario import Scenario
from linesim.studies.what_holds import WhatHolds

_WAYS = (
    "lowest net rate",
    "what the others wait for",
    "longest active periods",
    "small improvement",
)


def what_holds_answer(scenario: Scenario, found: WhatHolds) -> AnswerContent:
    """The answer of ``what-holds``."""
    return AnswerContent(
        found,
        holds_words(scenario, found),
        _tables(found),
        _charts(found),
        _NOTES,
    )


def holds_words(scenario: Scenario, found: WhatHolds) -> list[str]:
    """What holds the line, and what to believe where the four signs differ."""
    said = [
        f"{way}: {station_name(scenario, answer) if answer else 'not clear'}"
        for way, answer in zip(_WAYS, found.answers, strict=True)
    ]
    if found.agree and None not in found.answers:
        holds = the_station(scenario, found.by_net_rate)
        first = f"{scenario.line.name}: what holds the line: {holds}. All four signs agree."
    elif found.agree:
        likely = next(answer for answer in found.answers if answer is not None)
        first = (
            f"{scenario.line.name}: what holds the line, as far as the runs show:"
            f" {the_station(scenario, likely)} ({'; '.join(said)})."
        )
    else:
        first = f"{scenario.line.name}: the four signs differ ({'; '.join(said)})."
    words = [first, _believe(scenario, found)]
    if found.too_fast is not None:
        fast = f"The line with its sheeter {100 * found.step:g} % faster"
        words.append(faster_but_less_words(fast, "the line as it is", found.too_fast))
    return words


def _believe(scenario: Scenario, found: WhatHolds) -> str:
    best = found.by_improvement and the_station(scenario, found.by_improvement)
    if found.agree and best is not None:
        return f"So improve {best} first."
    if best is not None:
        return (
            "Where they differ, believe the small improvement: it alone measures what a change"
            f" brings at the end of the line, and it is largest at {best}. The net rate leaves"
            " out waiting, restarts and the bridge; waiting and active periods say where time"
            " goes, not what it costs."
        )
    most = max(found.stations, key=lambda s: s.gain.interval.mean)
    return (
        f"No station made {100 * found.step:g} % faster is shown to add more than every other"
        f" ({station_name(scenario, most.station)}: {plus(most.gain)} reams a week). Either the"
        " line is balanced, as far as these runs can show, or its stops cost more than its speeds."
        " See what each stop really costs (rank-stops) before you believe any one sign."
    )


def _tables(found: WhatHolds) -> tuple[AnswerTable, ...]:
    """The four signs, station by station."""
    return (
        AnswerTable(
            "stations",
            "The four signs side by side",
            (
                Column("station"),
                Column("net rate", "reams/min"),
                Column("starved", "%"),
                Column("blocked", "%"),
                Column("sole bottleneck", "%"),
                Column(f"reams a week if {100 * found.step:g} % faster"),
            ),
            tuple(
                (
                    s.station,
                    s.net_rate,
                    figure(s.starved, 100),
                    figure(s.blocked, 100),
                    figure(s.alone_longest_active, 100),
                    change(s.gain),
                )
                for s in found.stations
            ),
        ),
    )


def _charts(found: WhatHolds) -> tuple[Chart, ...]:
    """What a small improvement of each station brings, and who waits for whom."""
    station = Column("station")
    return (
        Bars(
            "improvement",
            f"What it brings to make one station {100 * found.step:g} % faster",
            station,
            Column("gain", "reams a week"),
            tuple(Bar(s.station, change(s.gain)) for s in found.stations),
        ),
        Bars(
            "starved",
            "Time each station waits for reams or paper",
            station,
            Column("starved", "%"),
            tuple(Bar(s.station, figure(s.starved, 100)) for s in found.stations),
        ),
        Bars(
            "blocked",
            "Time each station waits for room",
            station,
            Column("blocked", "%"),
            tuple(Bar(s.station, figure(s.blocked, 100)) for s in found.stations),
        ),
    )


_NOTES = (
    "Starved and blocked time as a sign: Kuo, Lim and Meerkov 1996. Sole bottleneck: share of time"
    " in which only this station has the longest active period (Roser, Nakano and Tanaka 2001).",
)
