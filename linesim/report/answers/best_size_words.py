"""What is said of sizes of buffers: which is best, in places, in metres and in money."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from linesim.report.answers.advice import Advice, worth_clause
from linesim.report.answers.answer import verdict
from linesim.report.answers.choice_words import choice_words
from linesim.report.answers.money_tables import (
    market_words,
    paid_back_words,
    sum_table,
    worth_table,
    worth_words,
)
from linesim.report.answers.tables import AnswerTable
from linesim.scenario import CURRENCY, Scenario
from linesim.scenario.buffers import Buffer, bridge_of
from linesim.scenario.levers_table import LeverName
from linesim.statistics import counted
from linesim.studies.best_size import BestSize, Sized
from linesim.studies.changes import bridge_fields
from linesim.studies.worth import prices_of


def size_text(buffers: Sequence[Buffer], sized: Sized) -> str:
    """The sizes in words: "the bridge with 40 places (13.2 m)"."""
    return " and ".join(one_size_text(each, sized, n) for n, each in enumerate(buffers))


def levels_note(scenario: Scenario, places: Iterable[int]) -> list[str]:
    """That each set stops the sheeter on bridges of these places that are that short."""
    full = [
        n
        for n in sorted(set(places))
        if n != scenario.bridge_places
        and (stop := bridge_fields(scenario, n).get("bridge.stop_at_reams")) is not None
        and stop <= scenario.set_reams
    ]
    if not full:
        return []
    return [
        f"Of the bridges tried, one with {counted(full[-1], 'place')} or fewer is at its stop level"
        " with every set of reams, since levels keep their distance from its end: the sheeter"
        " waits until the reams have travelled off, the longer the belt the longer. With levels"
        " set for it so short a bridge may make more."
    ]


def one_size_text(buffer: Buffer, sized: Sized, n: int) -> str:
    """The same of one of them, the n-th."""
    places, metres = sized.places[n], sized.metres[n]
    return f"{buffer.words} with {counted(places, 'place')} ({metres_text(metres)} m)"


def short_size_text(sized: Sized) -> str:
    """The sizes as they name a row: "40 + 20 places"."""
    return " + ".join(f"{places:,}" for places in sized.places) + " places"


def metres_text(metres: float) -> str:
    """Metres to the centimetre.

    >>> metres_text(13.2), metres_text(9.0), metres_text(0.333)
    ('13.2', '9', '0.33')
    """
    return f"{round(metres, 2):,.10g}"


def room_words(buffer: Buffer) -> str:
    """How long a buffer may get, and whether anybody has said so.

    >>> from linesim.scenario import check_mapping
    >>> room_words(bridge_of(check_mapping({"bridge": {"longest_m": 20}})))
    'there is room for 20 m (longest_m in [bridge])'
    >>> room_words(bridge_of(check_mapping({})))
    '60 m is taken to be what there is room for, as longest_m in [bridge] is not given'
    """
    longest, where = f"{buffer.longest_m:,.10g} m", f"longest_m in [{buffer.name}]"
    if buffer.longest_given:
        return f"there is room for {longest} ({where})"
    return f"{longest} is taken to be what there is room for, as {where} is not given"


def room_to_see(longer: Iterable[Buffer]) -> str:
    """What is to be seen to before these are made longer, where nobody has said it."""
    taken = [room_words(each) for each in longer if not each.longest_given]
    return f" First see whether there is room: {'; '.join(taken)}." if taken else ""


def bridge_room_to_see(scenario: Scenario, levers: Sequence[LeverName]) -> str:
    """The same of the bridge, where it is among the levers that are advised."""
    return room_to_see([bridge_of(scenario)] if "longer_bridge" in levers else [])


def places_text(scenario: Scenario, places: int) -> str:
    """A bridge of so many places, and in metres: a hall has metres.

    >>> from linesim.scenario import check_mapping
    >>> places_text(check_mapping({"bridge": {"length_m": 7}}), 40)
    '40 places (13.2 m)'
    """
    metres = bridge_of(scenario).metres(places)
    return f"{counted(places, 'place')} ({metres_text(metres)} m)"


def best_size_words(found: BestSize) -> list[str]:
    """Which sizes are best, what they bring and cost; what cannot be told from them."""
    best, rule = found.best, found.rule
    share = f"the {100 * rule.asked_fraction:g} % of the output asked of each further place"
    bar = "what it costs" if found.in_money else share
    said = size_text(found.buffers, best)
    if best is found.present:
        words = [f"By what each brings beyond {bar} no other size tried is better than {said}."]
    else:
        gain = verdict(best.gain, "reams a week", of="")
        words = [f"Best by what it brings beyond {bar}: {said}; {gain}. {_money(found)}".strip()]
    words[0] += f" {_alike(found)}"
    if best is not found.present:
        words[0] += _half_way(found)
        pairs = zip(found.buffers, best.places, found.present.places, strict=True)
        words[0] += room_to_see(buffer for buffer, then, now in pairs if then > now)
    if found.choice is not None:
        words.append(_choice(found))
    if found.in_money:
        words += market_words(found.market)
    return words


def size_advice(found: BestSize, *levers: LeverName) -> Advice:
    """The best sizes in one sentence, with what they bring."""
    best = found.best
    said = size_text(found.buffers, best)
    if best is found.present:
        return Advice(
            f"Leave it as it is: no other size tried is shown to be worth more than {said}."
        )
    gain = verdict(best.gain, "reams a week", of="")
    money = "" if best.worth is None else f"; {worth_clause(best.worth)}"
    return Advice(f"Best is {said}: {gain}{money}.", said, best.worth, levers, found.market)


def _money(found: BestSize) -> str:
    best = found.best
    if best.worth is None:
        return ""
    said = worth_words(best.worth, found.market, best.gain.interval)
    if best.in_plants is not None:
        said += f" {paid_back_words(best.in_plants, found.rule.within_years)}"
    return said


def _alike(found: BestSize) -> str:
    """The sizes that the runs do not tell from the best."""
    alike = [each for each in found.sizes if each.alike]
    if len(alike) == 1:
        return "Every other size tried is shown to be worse."
    best_is_new = found.best is not found.present
    spans = []
    for n, buffer in enumerate(found.buffers):
        low, high = found.alike(n)
        ends = f"{low:,} to {high:,}" if low < high else f"{low:,}"
        metres = " to ".join(metres_text(buffer.metres(each)) for each in sorted({low, high}))
        where = f" of {buffer.words}" if len(found.buffers) > 1 else ""
        spans.append(f"{ends} places ({metres} m){where}")
    now = ", the present one among them" if found.present.alike and best_is_new else ""
    return f"No difference is shown between it and other sizes of {' with '.join(spans)}{now}."


def _half_way(found: BestSize) -> str:
    """Where a much smaller size brings over half of it, and whether none was tried beyond it.

    Of one buffer: of several there is no order of sizes.
    """
    best, now, said = found.best, found.present, []
    if len(found.buffers) > 1 or best.places < now.places:
        return ""
    half = best.gain.interval.mean / 2
    longer = (each for each in found.sizes if now.places < each.places and each.gain.shown)
    first = next((each for each in longer if each.gain.interval.mean > half), best)
    added, all_of_it = (each.places[0] - now.places[0] for each in (first, best))
    if added <= all_of_it / 2:
        size, gain = size_text(found.buffers, first), verdict(first.gain, "reams a week", of="")
        said.append(f" Over half of the gain comes with {size}: {gain}.")
    if best is found.sizes[-1] and best.places[0] < found.buffers[0].most:
        said.append(" No larger one than the best was tried: it may be better still.")
    return "".join(said)


def _choice(found: BestSize) -> str:
    assert found.choice is not None
    unit = f"{CURRENCY} a year" if found.in_money else "reams a week"
    if len(found.buffers) > 1:
        names = [size_text(found.buffers, each) for each in found.sizes]
        return choice_words(found.choice, names, unit)
    names = [f"{each.places[0]:,}" for each in found.sizes]
    return choice_words(found.choice, names, unit, along="{} places")


def size_money_tables(scenario: Scenario, found: BestSize) -> list[AnswerTable]:
    """How the yearly sum of each larger size adds up, and what it makes of the capital."""
    priced = [(each, each.worth) for each in found.sizes if each.worth is not None]
    rows = [(short_size_text(each), worth) for each, worth in priced]
    if not rows:
        return []
    # A column for each: those of a map would fill pages.
    summed = rows if len(found.buffers) == 1 else rows[-1:]
    best = found.best
    if len(found.buffers) > 1 and best.worth is not None:
        summed = [(short_size_text(best), best.worth)]
    return [
        sum_table(summed, prices_of(scenario), found.market),
        worth_table(rows, [each.in_plants for each, _ in priced]),
    ]
