"""What the line and each station made of one product, in reams or their equivalent."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from linesim.record.capacity import CARTON_PACKER, SHEETER, TRANSFER, WRAPPERS
from linesim.record.products import products
from linesim.record.record import Part
from linesim.scenario import Scenario

START_UP_REASONS = ("after_stop", "spoiled", "no_room")
"""Reasons of rejects at the gate that come with a start; all others belong to the process."""


@dataclass(frozen=True)
class Pieces:
    """What a station made in the counted time, in reams or their equivalent, exactly."""

    good: Fraction
    """Good at the end of the line; of a single station, good there."""
    start_up_rejects: Fraction
    process_rejects: Fraction
    on_the_line: Fraction
    """Made there, and neither good nor lost yet; negative where more came out than went in."""
    in_hand: Fraction = Fraction(0)
    """As much as this may have been begun before the counted time, or be undone yet."""

    @property
    def made(self) -> Fraction:
        """All that the station made: what came out, less what was on the line before."""
        return self.good + self.start_up_rejects + self.process_rejects + self.on_the_line


def reams_of_web(scenario: Scenario, part: Part, web_um: int) -> Fraction:
    """Web length (um, all webs together) as the reams that could have been cut of it."""
    m_per_ream = products(scenario)[part.order].web_m_per_ream(scenario.unwind.webs)
    return Fraction(web_um) / (Fraction(m_per_ream) * 1_000_000)


def line_pieces(scenario: Scenario, part: Part, station: str) -> Pieces:
    """What the line made at its output, in the terms of the station that sets its pace."""
    reams, none = part.books.reams, Fraction(0)
    good, own = Fraction(reams.good), station_pieces(scenario, part, station)
    assert own is not None
    lost = reams.repulped if station == WRAPPERS else reams.lost
    if station in scenario.end_places:
        lost = 0
    start_up, process = none, Fraction(lost) + _packed_again(scenario, part, station)
    if station == SHEETER:
        start_up, process = own.start_up_rejects, own.process_rejects + lost
    on_line = own.made - good - start_up - process
    return Pieces(good, start_up, process, on_line, own.in_hand)


def station_pieces(scenario: Scenario, part: Part, name: str) -> Pieces | None:
    """What a station made, or all wrappers together; None for one that sets no pace.

    What each of several wrappers spoiled is not known apart: one is judged at the quality of all.
    Carton packers together go by the name of their table.
    """
    reams, none = part.books.reams, Fraction(0)
    match name:
        case _ if name == SHEETER:
            return _sheeter(scenario, part)
        case _ if name == TRANSFER:
            # One set may be in its grip as the count begins, and one wait for it as it ends.
            two_sets = Fraction(2 * products(scenario)[part.order].lanes)
            return Pieces(Fraction(reams.made), none, none, none, two_sets)
        case _ if name in scenario.end_of_line or name in scenario.end_places:
            taken = dict(zip(scenario.end_of_line, part.taken_out, strict=True))
            names = scenario.end_places.get(name, (name,))
            # Pieces take their times over and over: so many may have been the short or long ones.
            of = [scenario.end_of_line[each] for each in names]
            in_hand = Fraction(sum(pieces.reams * len(pieces.extra_s) for pieces in of))
            good = Fraction(sum(taken[each] for each in names))
            return Pieces(good, none, _packed_again(scenario, part, name), none, in_hand)
        case _ if name == WRAPPERS:
            wrapped = sum(part.wrapped_by)
            good = Fraction(min(reams.wrapped, wrapped))
            return Pieces(good, none, wrapped - good, none, Fraction(len(part.wrapped_by)))
    for number, wrapper in enumerate(scenario.wrapper):
        if wrapper.name == name:
            every = station_pieces(scenario, part, WRAPPERS)
            assert every is not None
            share = every.good / every.made if every.made else Fraction(1)
            done = Fraction(part.wrapped_by[number])
            return Pieces(done * share, none, done * (1 - share), none, Fraction(1))
    return None


def _packed_again(scenario: Scenario, part: Part, station: str) -> Fraction:
    """Reams that a carton packer packed in vain: they are good, its work was not.

    What each of several spoiled is not known apart: one has its share by what it packed.
    """
    book, packers = part.books.cartons, scenario.end_places.get(CARTON_PACKER, ())
    if book is None or station not in (CARTON_PACKER, *packers):
        return Fraction(0)
    spoiled = Fraction(book.cartons_spoiled * scenario.end_of_line[packers[0]].reams)
    taken = dict(zip(scenario.end_of_line, part.taken_out, strict=True))
    every = sum(taken[name] for name in packers)
    if station == CARTON_PACKER or not every:
        return spoiled
    return spoiled * taken[station] / every


def _sheeter(scenario: Scenario, part: Part) -> Pieces:
    """Everything cut; good is what went to the pockets and was not cleared out of them."""
    books, product = part.books, products(scenario)[part.order]
    rejected = books.paper.rejected
    start_up = sum(rejected.get(reason, 0) for reason in START_UP_REASONS)
    process = sum(rejected.values()) - start_up
    in_a_ream = product.cuts_per_ream * scenario.unwind.webs
    cut = Fraction(books.sheets.to_pockets, in_a_ream)
    spoiled = Fraction(min(books.sheets.spoiled, books.sheets.to_pockets), in_a_ream)
    return Pieces(
        cut - spoiled,
        reams_of_web(scenario, part, start_up),
        reams_of_web(scenario, part, process) + spoiled,
        Fraction(0),
        Fraction(product.lanes, product.cuts_per_ream),
    )
