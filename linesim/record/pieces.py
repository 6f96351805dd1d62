"""What the line and each station made, in reams or their equivalent."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from linesim.record.capacity import OUTFEED, SHEETER, TRANSFER, WRAPPERS, web_m_per_ream
from linesim.record.record import Record

START_UP_REASONS = ("after_stop", "spoiled", "no_room")
"""Reasons of rejects at the gate that come with a start; all others belong to the process."""


@dataclass(frozen=True)
class Pieces:
    """What a station made in the counted time, in reams or their equivalent, exactly."""

    good: Fraction
    start_up_rejects: Fraction
    process_rejects: Fraction
    on_the_line: Fraction
    """Made, and neither good nor lost yet; negative where more came out than went in."""

    @property
    def produced(self) -> Fraction:
        """Good and rejected, without what is still on the line."""
        return self.good + self.start_up_rejects + self.process_rejects


def reams_of_web(record: Record, web_um: int) -> Fraction:
    """Web length (um, all webs together) as the reams that could have been cut of it."""
    return Fraction(web_um) / (Fraction(web_m_per_ream(record.scenario)) * 1_000_000)


def line_pieces(record: Record, station: str) -> Pieces:
    """What the line made at its output, in the terms of its slowest-rated station."""
    reams = record.books.reams
    good, none = Fraction(reams.good), Fraction(0)
    if station == OUTFEED:
        return Pieces(good, none, none, none)
    if station == WRAPPERS:
        lost = Fraction(reams.repulped)
        return Pieces(good, none, lost, sum(record.wrapped_by) - good - lost)
    on_line = Fraction(reams.at_end - reams.at_start)
    if station == TRANSFER:
        return Pieces(good, none, Fraction(reams.lost), on_line)
    cut = sheeter_pieces(record)
    lost = cut.process_rejects + reams.lost
    return Pieces(good, cut.start_up_rejects, lost, cut.good - good - reams.lost)


def station_pieces(record: Record, name: str) -> Pieces | None:
    """What a station made; None for one that sets no pace."""
    if name == SHEETER:
        return sheeter_pieces(record)
    reams, none = record.books.reams, Fraction(0)
    if name == TRANSFER:
        return Pieces(Fraction(reams.made), none, none, none)
    if name == OUTFEED:
        return Pieces(Fraction(reams.good), none, none, none)
    for number, wrapper in enumerate(record.scenario.wrapper):
        if wrapper.name == name:
            everything = wrapper_pieces(record)
            done = Fraction(record.wrapped_by[number])
            share = everything.good / everything.produced if everything.produced else Fraction(1)
            return Pieces(done * share, none, done * (1 - share), none)
    return None


def sheeter_pieces(record: Record) -> Pieces:
    """Everything cut; good is what went to the pockets and was not cleared out of them."""
    books = record.books
    rejected = books.paper.rejected
    start_up = sum(rejected.get(reason, 0) for reason in START_UP_REASONS)
    process = sum(rejected.values()) - start_up
    # Sheets are sheets whatever their size: with orders of several, a ream is a ream.
    webs = record.scenario.unwind.webs
    in_a_ream = -(-record.scenario.product.sheets_per_ream // webs) * webs
    cut = Fraction(books.sheets.to_pockets, in_a_ream)
    spoiled = Fraction(min(books.sheets.spoiled, books.sheets.to_pockets), in_a_ream)
    return Pieces(
        cut - spoiled,
        reams_of_web(record, start_up),
        reams_of_web(record, process) + spoiled,
        Fraction(0),
    )


def wrapper_pieces(record: Record) -> Pieces:
    """Everything wrapped; a wrap that had to be done again by hand is not a good one."""
    good = Fraction(record.books.reams.wrapped)
    spoiled = Fraction(max(0, sum(record.wrapped_by) - record.books.reams.wrapped))
    return Pieces(good, Fraction(0), spoiled, Fraction(0))
