"""The answer to: how large should a buffer be, or two together?"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from linesim.report.answers.answer import AnswerContent, pairing_note, verdict
from linesim.report.answers.best_size_words import (
    best_size_words,
    levels_note,
    metres_text,
    one_size_text,
    room_words,
    short_size_text,
    size_advice,
    size_money_tables,
    size_text,
)
from linesim.report.answers.cells import Cell, Column, Found, figure_of
from linesim.report.answers.charts import NOW, PAIRED, Chart, Map, curve, stretches
from linesim.report.answers.money_tables import MONEY_NOTE
from linesim.report.answers.tables import AnswerTable
from linesim.report.plain import capital
from linesim.scenario import CURRENCY, Scenario
from linesim.scenario.buffers import BRIDGE, Buffer
from linesim.scenario.levers_table import LeverName
from linesim.statistics import counted
from linesim.studies.best_size import BestSize, Sized
from linesim.studies.size_buffers import SizedBuffers, Split, Together
from linesim.studies.what_to_measure import MainFigure

_Column = tuple[str | Column, Callable[[Sized], Found]]


def size_buffers_answer(scenario: Scenario, found: SizedBuffers) -> AnswerContent:
    """The answer of ``size-buffers``."""
    sizes = found.sizes
    gain = None if sizes.best is sizes.present else sizes.best.gain
    return AnswerContent(
        found,
        size_buffers_words(scenario, found),
        _tables(scenario, found),
        _charts(found),
        _notes(scenario, found),
        prices=tuple(dict.fromkeys(buffer.place_cost for buffer in sizes.buffers)),
        main=MainFigure.gain(gain, sizes.best.reams_per_week),
        advice=None if found.split else size_advice(sizes, *_levers(sizes)),
    )


def _levers(sizes: BestSize) -> list[LeverName]:
    pairs = zip(sizes.buffers, sizes.best.places, sizes.present.places, strict=True)
    moved = [buffer.name for buffer, best, now in pairs if best != now]
    return ["longer_bridge" if name == BRIDGE else "longer_conveyors" for name in moved]


def size_buffers_words(scenario: Scenario, found: SizedBuffers) -> list[str]:
    """The split that was asked for, the best sizes, and whether two buffers add up."""
    sizes = found.sizes
    first, *rest = best_size_words(sizes)
    words = [] if found.split is None else [_split(found, found.split)]
    words += [first, *rest]
    words[0] = f"“{scenario.line.name}”: {words[0][0].lower()}{words[0][1:]}"
    if found.confirmed is not None:
        named = size_text(sizes.buffers, found.recommended)
        sure = verdict(found.confirmed.gain, "reams a week", of="")
        words[0] += f" With fresh random numbers, {named} against the line as it is: {sure}."
    if found.together is not None:
        words.insert(1, _together(found, found.together))
    now = sizes.present
    words.append(
        f"As it is, {size_text(sizes.buffers, now)}, the line makes"
        f" {now.reams_per_week.text()} good reams a week."
    )
    return words


def _split(found: SizedBuffers, split: Split) -> str:
    """How a sum is best split, in one sentence."""
    buffers, of, best = found.sizes.buffers, split.of, split.best
    if of.total_places is not None:
        what = f"{of.total_places:,} places in all are best split into {size_text(buffers, best)}"
    else:
        spent = [n for n, now in enumerate(found.sizes.present.places) if best.places[n] > now]
        on = " and ".join(one_size_text(buffers[n], best, n) for n in spent)
        what = f"{of.budget:,.10g} for further places is best spent on {on}{_alone(spent)}"
    gain = verdict(best.gain, "reams a week", of="")
    said = f"{what}, against the line as it is {gain}"
    told = [
        f"{verdict(short, 'reams a week', of='')} than with {size_text(buffers, way)}"
        for way, short in zip(split.ways, split.short, strict=True)
        if way in (split.ways[0], split.ways[-1]) and short is not None and short.shown
    ]
    if told:
        said += f"; that is {' and '.join(told)}"
    others = [way for way in split.alike if way is not best]
    if others:
        low, high = (f"{way.places[0]:,}" for way in (split.alike[0], split.alike[-1]))
        said += (
            f"; no difference is shown between it and splits with {low} to {high} places of"
            f" {buffers[0].words}"
        )
    return f"{said}."


def _together(found: SizedBuffers, together: Together) -> str:
    """What each alone gives, both, and whether that adds up."""
    buffers, both = found.sizes.buffers, together.both
    each = "; ".join(
        f"{one_size_text(buffers[n], both, n)} alone: {verdict(alone.gain, 'reams a week', of='')}"
        for n, alone in enumerate(together.alone)
    )
    more = together.more
    size = more.times(1 if more.mean > 0 else -1).text()
    if not more.mean and not more.both:
        sum_up = "they add up: every run gave the sum of the two"
    elif together.adds_up:
        sum_up = (
            f"no difference is shown to the sum of the two ({size} reams a week): they add up, as"
            " far as these runs tell"
        )
    elif more.mean > 0:
        sum_up = f"together {size} reams a week more than the sum of the two: each needs the other"
    else:
        sum_up = (
            f"together {size} reams a week less than the sum of the two: each does part of the"
            " other's work"
        )
    both_bring = verdict(both.gain, "reams a week", of="")
    said = f"{each}; both: {both_bring}; {sum_up}."
    return capital(said)


def _alone(which: Sequence[int]) -> str:
    return " alone" if len(which) == 1 else ""


def _tables(scenario: Scenario, found: SizedBuffers) -> list[AnswerTable]:
    sizes, tables = found.sizes, []
    if len(sizes.buffers) > 1:
        tables.append(_map_table(found))
    if found.split is not None:
        tables.append(_split_table(found, found.split))
    return [*tables, _sizes_table(found), *size_money_tables(scenario, sizes)]


def _size_columns(found: SizedBuffers) -> list[_Column]:
    buffers = found.sizes.buffers
    if len(buffers) == 1:
        return [
            (Column("places", buffers[0].piece), _picks(lambda s: s.places, 0)),
            (Column("length", "m", rank=3), _picks(lambda s: s.metres, 0)),
        ]
    columns: list[_Column] = [("size", lambda s: short_size_text(s))]
    for n, buffer in enumerate(buffers):
        columns += [
            (Column(_name(buffer), buffer.piece), _picks(lambda s: s.places, n)),
            (Column(_name(buffer), "m", rank=3), _picks(lambda s: s.metres, n)),
        ]
    return columns


def _picks(of: Callable[[Sized], Sequence[float]], n: int) -> Callable[[Sized], Found]:
    return lambda sized: of(sized)[n]


def _name(buffer: Buffer) -> str:
    return buffer.name.replace("_", " ")


def _sizes_table(found: SizedBuffers) -> AnswerTable:
    sizes = found.sizes
    single = len(sizes.buffers) == 1
    waits: list[_Column] = [
        (Column("blocked before it", "h", rank=2), lambda s: s.blocked_h[0]),
        (Column("starved behind it", "h", rank=2), lambda s: s.starved_h[0]),
    ]
    return AnswerTable.of(
        "sizes",
        "What each size brings (a week of 168 h)",
        sizes.sizes,
        *_size_columns(found),
        (Column("good reams", rank=1), lambda s: s.reams_per_week),
        (Column("more than now", "reams"), lambda s: s.gain),
        *(waits if single else []),
        (Column("beyond its cost", sizes.unit, rank=1), lambda s: s.net),
        (Column("short of the best", sizes.unit), lambda s: "best" if s.short is None else s.short),
    )


def _map_table(found: SizedBuffers) -> AnswerTable:
    """Gains alone: their intervals stand with the sizes."""
    sizes, (down, across) = found.sizes, found.axes
    one, two = sizes.buffers
    known = {each.places: each for each in sizes.sizes}

    def cell(at: tuple[int, int]) -> Cell:
        each = known.get(at)
        if each is None:
            return ""
        marks = " best" * (each is sizes.best) + " now" * (each is sizes.present)
        gain = each.gain.interval
        known_to = 10.0 ** max(0, len(f"{max(1.0, gain.both):.0f}") - 2)
        if not each.gain.shown and each is not sizes.present:
            # Without its interval a figure would be taken for one that is known.
            return f"not shown{marks}"
        # Nothing is no more below 0 than above it.
        mean = round(gain.mean / known_to) * known_to + 0.0
        return f"{mean:,.0f}{marks}".replace("-", "−")

    def row(places: int | None, n: int) -> Cell:
        return f"{metres_text(two.metres(n))} m" if places is None else cell((places, n))

    # A row of its own for the metres keeps columns narrow: a page of 80 letters holds seven.
    return AnswerTable.of(
        "map",
        f"Reams a week more than now: places of {one.words} down, of {two.words} across",
        [None, *down],
        (
            "places",
            lambda n: "" if n is None else f"{n:,} ({metres_text(one.metres(n))} m)",
        ),
        *((f"{n:,}", lambda places, n=n: row(places, n)) for n in across),
    )


def _split_table(found: SizedBuffers, split: Split) -> AnswerTable:
    of = split.of
    sum_of = (
        f"{of.budget:,.10g} {CURRENCY}"
        if of.total_places is None
        else f"{of.total_places:,} places"
    )
    short = {way.places: each for way, each in zip(split.ways, split.short, strict=True)}
    return AnswerTable.of(
        "split",
        f"Ways to split {sum_of} (a week of 168 h)",
        split.ways,
        *_size_columns(found),
        (Column("more than now", "reams"), lambda s: s.gain),
        (Column("short of the best", "reams"), lambda s: short[s.places] or "best"),
        (
            Column("capital", "money", rank=1),
            lambda s: None if s.worth is None else s.worth.purchase.capital,
        ),
    )


def _charts(found: SizedBuffers) -> list[Chart]:
    sizes = found.sizes
    reams = Column("good reams more", "reams a week")
    if len(sizes.buffers) > 1:
        return [_map(found, reams)]
    (buffer,) = sizes.buffers
    places = Column(f"places of {buffer.words}", buffer.piece)

    def over(
        name: str, title: str, y: Column, pick: Callable[[Sized], Found], **more: Any
    ) -> Chart:
        rows = ((each.places[0], pick(each)) for each in sizes.sizes)
        return curve(name, title, places, y, rows, float(buffer.places), **more)

    gains: dict[str, Any] = {
        "of": PAIRED,
        "gain": NOW,
        "pays": stretches((float(each.places[0]), each.shown_to_pay) for each in sizes.sizes),
        "best": float(sizes.best.places[0]),
    }
    beyond = Column("beyond its cost", sizes.unit)
    return [
        over("gain", "What so many places bring", reams, lambda s: s.gain, **gains),
        over("net", "What they bring beyond what they cost", beyond, lambda s: s.net, **gains),
        over(
            "output",
            "What the line makes",
            Column("good reams", "reams a week"),
            lambda s: s.reams_per_week,
        ),
    ]


def _map(found: SizedBuffers, reams: Column) -> Map:
    sizes, (down, across) = found.sizes, found.axes
    cells = {
        each.places: figure_of(each.gain.interval, shown=each.gain.shown) for each in sizes.sizes
    }
    one, two = sizes.buffers
    return Map(
        "gain",
        "What the two bring against the line as it is",
        Column(_name(one), one.piece),
        Column(_name(two), two.piece),
        reams,
        tuple(map(float, down)),
        tuple(map(float, across)),
        tuple(tuple(cells.get((a, b)) for b in across) for a in down),
        present=(float(one.places), float(two.places)),
        best=(float(sizes.best.places[0]), float(sizes.best.places[1])),
        empty="not run",
    )


def _notes(scenario: Scenario, found: SizedBuffers) -> list[str]:
    sizes = found.sizes
    all_of = len(sizes.sizes)
    more = all_of - found.coarse
    later = f", {more} of them round the best of the first {found.coarse}" if more else ""
    if more and (found.split is not None or found.together is not None):
        later += ", for the split, or for each buffer alone"
    fresh = ""
    if found.confirmed is not None:
        again = f"{found.confirmed.runs:,} more"
        fresh = f" {again}, with fresh ones, are of the best and of the line as it is."
    notes = [
        f"{all_of} sizes were run{later}: {counted(sizes.runs, 'run')} of {sizes.hours:g} h of"
        f" each, {all_of * sizes.runs:,} in all, with the same random numbers.{fresh}",
        "Places that stand already are paid, and bring nothing back where they are taken away.",
    ]
    for n, buffer in enumerate(sizes.buffers):
        if buffer.name == BRIDGE:
            notes += levels_note(scenario, (each.places[n] for each in sizes.sizes))
        if sizes.best.places[n] == max(each.places[n] for each in sizes.sizes):
            notes.append(_largest(buffer, sizes.best.places[n]))
    if sizes.in_money:
        notes.append(MONEY_NOTE)
    else:
        missing = [b.place_cost for b in sizes.buffers if not getattr(scenario.money, b.place_cost)]
        if not scenario.money.contribution_per_ream:
            missing.append("contribution_per_ream")
        named = ", ".join(dict.fromkeys(missing))
        notes.append(f"Nothing is said in money: [money] does not say {named}.")
    narrowing = sorted(each.gain.narrowing for each in sizes.sizes if each is not sizes.present)
    return [*notes, pairing_note(narrowing[len(narrowing) // 2]) + " (Median of the sizes.)"]


def _largest(buffer: Buffer, places: int) -> str:
    """That a larger one was not tried."""
    if places >= buffer.most:
        return f"No larger size of {buffer.words} was tried: {room_words(buffer)}."
    return f"{capital(buffer.words)}: the best is the largest that was tried."
