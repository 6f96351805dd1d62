"""What holds the line, in words, tables and charts: the answer of ``what-holds``."""

from __future__ import annotations

from linesim.report.answers.advice import Advice
from linesim.report.answers.answer import AnswerContent, faster_but_less_words, plus
from linesim.report.answers.cells import Column
from linesim.report.answers.charts import Bars, bars
from linesim.report.answers.tables import AnswerTable
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
    words = holds_words(scenario, found)
    advice = None
    if found.by_improvement:
        best = the_station(scenario, found.by_improvement)
        advice = Advice(f"Improve {best} first: a small improvement brings most there.")
    return AnswerContent(
        found, words, (_table(scenario, found),), _charts(scenario, found), _NOTES, advice=advice
    )


def holds_words(scenario: Scenario, found: WhatHolds) -> list[str]:
    """What holds the line, and what to believe where the four signs differ."""
    said = [
        f"{way}: {station_name(scenario, answer) if answer else 'not clear'}"
        for way, answer in zip(_WAYS, found.answers, strict=True)
    ]
    if found.agree and None not in found.answers:
        holds = the_station(scenario, found.by_net_rate)
        first = f"The line “{scenario.line.name}” is held by {holds}: all four signs agree."
    elif found.agree:
        likely = next(answer for answer in found.answers if answer is not None)
        first = (
            f"“{scenario.line.name}”: what holds the line, as far as the runs show:"
            f" {the_station(scenario, likely)} ({'; '.join(said)})."
        )
    else:
        first = f"“{scenario.line.name}”: the four signs differ ({'; '.join(said)})."
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


def _table(scenario: Scenario, found: WhatHolds) -> AnswerTable:
    return AnswerTable.of(
        "stations",
        "The four signs side by side",
        found.stations,
        ("station", lambda s: station_name(scenario, s.station)),
        (Column("net rate", "reams/min", rank=1), lambda s: s.net_rate),
        (Column("starved", "%"), lambda s: s.starved),
        (Column("blocked", "%"), lambda s: s.blocked),
        (Column("sole bottleneck", "%", said="sets the pace"), lambda s: s.alone_longest_active),
        (f"reams a week if {100 * found.step:g} % faster", lambda s: s.gain),
    )


def _charts(scenario: Scenario, found: WhatHolds) -> tuple[Bars, ...]:
    """What a small improvement of each station brings, and who waits for whom."""
    improvement = f"What it brings to make one station {100 * found.step:g} % faster"
    paper, room = (f"Time each station waits for {what}" for what in ("reams or paper", "room"))
    gain, starved, blocked = (
        Column("gain", "reams a week"),
        Column("starved", "%"),
        Column("blocked", "%"),
    )
    every = found.stations
    return (
        bars(
            "improvement",
            improvement,
            "station",
            gain,
            ((station_name(scenario, s.station), s.gain) for s in every),
        ),
        bars(
            "starved",
            paper,
            "station",
            starved,
            ((station_name(scenario, s.station), s.starved) for s in every),
        ),
        bars(
            "blocked",
            room,
            "station",
            blocked,
            ((station_name(scenario, s.station), s.blocked) for s in every),
        ),
    )


_NOTES = (
    "Starved and blocked time as a sign: Kuo, Lim and Meerkov 1996. Sets the pace: share of time"
    " in which only this station has the longest active period (Roser, Nakano and Tanaka 2001).",
    "The sheeter counts as blocked while it stands for what lies beyond the transfer, and by how"
    " much it is slowed for that, or while the transfer holds a set, whichever is more.",
    "A station made faster stops as often as before. What its stops cost is told by rank-stops,"
    " what one more wrapper brings, which packs on while another stands, by add-wrapper.",
)
