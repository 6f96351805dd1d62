"""The answer to: does one more wrapper pay?"""

from __future__ import annotations

from linesim.record.capacity import SHEETER
from linesim.report.answers.advice import Advice, worth_clause
from linesim.report.answers.answer import (
    UNPAIRED,
    AnswerContent,
    pairing_note,
    plus,
    two_digits,
    verdict,
)
from linesim.report.answers.cells import Column
from linesim.report.answers.charts import Bars, bars
from linesim.report.answers.choice_words import PLANTS_NOTE, choice_words
from linesim.report.answers.money_tables import (
    MONEY_NOTE,
    ORDERS_NOTE,
    market_words,
    paid_back_words,
    sum_table,
    worth_table,
    worth_words,
)
from linesim.report.answers.tables import AnswerTable
from linesim.report.plain import station_name, the_station
from linesim.scenario import CURRENCY, Scenario
from linesim.studies.add_wrapper import AS_IT_IS, ONE_MORE, AddWrapper, Option
from linesim.studies.what_to_measure import MainFigure
from linesim.studies.worth import Worth, prices_of


def add_wrapper_answer(scenario: Scenario, found: AddWrapper) -> AnswerContent:
    """The answer of ``add-wrapper``."""
    return AnswerContent(
        found,
        _words(scenario, found),
        _tables(scenario, found),
        _charts(found),
        _notes(scenario, found),
        prices=("wrapper_price", "carton_packer_price", "ream_place_cost", "person_cost_per_year"),
        main=_main_figure(scenario, found),
        advice=_advice(found),
    )


def _advice(found: AddWrapper) -> Advice:
    first = found.options[0]
    said = f"One more wrapper: {verdict(first.gain, 'reams a week', of='')}"
    if first.worth is not None:
        said += f"; {worth_clause(first.worth)}"
    elif _pays_at_most(found):
        said += f"; worth {_pays_at_most(found)}"
    return Advice(f"{said}.", ONE_MORE, first.worth, ("more_wrappers",), found.market)


def _pays_at_most(found: AddWrapper) -> str:
    """What it brings where nobody knows its price; empty where that is not shown to be anything."""
    yearly = found.before_price
    if yearly is None or yearly.contains(0):
        return ""
    return f"{yearly.text()} {CURRENCY} a year before its price"


def _main_figure(scenario: Scenario, found: AddWrapper) -> MainFigure | None:
    """What one more wrapper brings: in money where it has a price, else in reams."""
    first = found.options[0]
    if first.worth is None:
        return MainFigure.gain(first.gain, first.reams_per_week)
    made = found.market.reams_per_year.mean * scenario.money.contribution_per_ream
    return MainFigure.money(first.worth.yearly, made)


def _words(scenario: Scenario, found: AddWrapper) -> list[str]:
    """With and without, what then holds the line, the money, and the cheaper things."""
    first = next(option for option in found.options if option.name == ONE_MORE)
    words = [
        f"“{scenario.line.name}”, one more wrapper: {verdict(first.gain, 'reams a week')}. As it is"
        f" the line makes {found.now.text()} good reams a week. What holds it:"
        f" {the_station(scenario, found.held_now_by)}. What holds it then:"
        f" {the_station(scenario, first.held_by)}, by the pattern of waiting."
        f"{_stops_cost(first, found)}"
    ]
    money = scenario.money
    if money.contribution_per_ream <= 0:
        words.append(
            "Nothing is said about money: the scenario does not say what a ream contributes"
            " (contribution_per_ream in [money])."
        )
    elif first.worth is None:
        words.append(
            "No payback is given: the scenario has no price of a wrapper (wrapper_price in"
            " [money])."
        )
        if _pays_at_most(found):
            words[-1] += f" It is worth {_pays_at_most(found)}."
    else:
        words.append(_money(first, first.worth, found))
    words += market_words(found.market)
    if found.choice is not None:
        priced = [option.name for option in found.options if option.in_plants is not None]
        before = f"By money a year, the capital spread over {found.years:g} years, "
        words.append(
            choice_words(found.choice, [AS_IT_IS, *priced], f"{CURRENCY} a year", before=before)
        )
    words.append(_cheaper(first, found))
    return words


def _stops_cost(first: Option, found: AddWrapper) -> str:
    """Why a wrapper brings reams where another station holds the line."""
    if not (first.gain.shown and first.gain.interval.mean > 0) or found.held_now_by != SHEETER:
        return ""
    return (
        " The sheeter sets the rate, but stops of the wrappers fill the bridge and then stop the"
        " sheeter, too: one more packs on meanwhile, where one that is only faster stops as often."
    )


def _money(option: Option, worth: Worth, found: AddWrapper) -> str:
    said = worth_words(worth, found.market, option.gain.interval)
    if option.in_plants is not None:
        said += " " + paid_back_words(option.in_plants, found.within_years)
    return said


def _cheaper(first: Option, found: AddWrapper) -> str:
    others = [option for option in found.options if option is not first]
    parts = [f"{option.name}: {verdict(option.gain, 'reams a week')}" for option in others]
    return "With the same random numbers, " + "; ".join(parts) + "."


def _tables(scenario: Scenario, found: AddWrapper) -> tuple[AnswerTable, ...]:
    """Options with their gains, how busy each wrapper is, and the money."""
    rows = [
        ("as it is", found.now, None, None, found.held_now_by),
        *((o.name, o.reams_per_week, o.gain, two_digits(o.gain), o.held_by) for o in found.options),
    ]
    options = AnswerTable.of(
        "options",
        "What each thing brings, a week of 168 h",
        rows,
        ("change", lambda row: row[0]),
        ("good reams", lambda row: row[1]),
        ("gain", lambda row: row[2]),
        (Column("unpaired ±", said=UNPAIRED, rank=2), lambda row: row[3]),
        (Column("then held by", left=True, rank=1), lambda row: station_name(scenario, row[4])),
    )
    use = AnswerTable.of(
        "wrappers",
        _WORKS,
        found.utilisation.items(),
        ("wrapper", lambda row: row[0]),
        (Column("works", "%"), lambda row: row[1]),
    )
    priced = [(o.name, o.worth) for o in found.options if o.worth is not None]
    if not priced:
        return options, use
    in_plants = [o.in_plants for o in found.options if o.worth is not None]
    money = sum_table(priced, prices_of(scenario), found.market)
    return options, use, money, worth_table(priced, in_plants)


def _charts(found: AddWrapper) -> tuple[Bars, ...]:
    """What each thing gains, and how busy the wrappers are."""
    gain, works = Column("gain", "reams a week"), Column("works", "%")
    gains = ((o.name, o.gain) for o in found.options)
    return (
        bars("gains", "What each change brings", "change", gain, gains),
        bars("utilisation", _WORKS, "wrapper", works, found.utilisation.items()),
    )


_WORKS = "Share of time each wrapper works, with the added one"


def _notes(scenario: Scenario, found: AddWrapper) -> list[str]:
    """What was assumed."""
    doubted = any(option.in_plants is not None for option in found.options)
    doubt = (
        PLANTS_NOTE
        if doubted
        else "No uncertainty of the inputs was given, so no chance of being paid back is stated."
    )
    first = found.options[0]
    like = "The added wrapper is like the last one, with the same stop causes."
    in_money = any(option.worth is not None for option in found.options)
    return [
        *([f"{like} {doubt}", MONEY_NOTE] if in_money else [like]),
        *([ORDERS_NOTE] if scenario.order else []),
        pairing_note(first.gain.narrowing) + f" (For the wrapper: {plus(first.gain)}.)",
    ]
