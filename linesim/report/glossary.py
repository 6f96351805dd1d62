"""The words the program uses, each said once: for the command, the window and the report."""

from __future__ import annotations

import re
import textwrap
from dataclasses import dataclass

from linesim.report.plain import WIDTH
from linesim.scenario import nearest

_ISO_22400 = "ISO 22400-2"
_NAKAJIMA = "Nakajima 1988"
_IEC_192 = "IEC 60050-192"
_COMMON = "common practice, no source"


@dataclass(frozen=True)
class GlossaryEntry:
    """A term, what it means, its unit where it has one, and who defines it.

    ``also`` are other words for it that the program shows.
    """

    term: str
    meaning: str
    unit: str = ""
    source: str = _COMMON
    also: tuple[str, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """The term and the other words for it."""
        return (self.term, *self.also)

    @property
    def standard(self) -> bool:
        """Whether somebody else defines it."""
        return self.source != _COMMON


def _entry(term: str, meaning: str, unit: str = "", source: str = _COMMON, also: str = "") -> None:
    others = tuple(also.split("; ")) if also else ()
    _ENTRIES.append(GlossaryEntry(term, meaning, unit, source, others))


_ENTRIES: list[GlossaryEntry] = []

# The paper and the machines, as the paper moves.
_entry("reel", "A roll of paper as bought, which a stand unwinds.")
_entry("mill joint", "A place where the mill joined the paper within a reel; it goes to reject.")
_entry("web", "The paper that runs from one reel to the knives.", also="webs")
_entry("unwind", "The stands, from which the reels run off side by side.")
_entry("stand", "What carries a reel. With two stands a web, one prepares while the other runs.")
_entry("reel truck", "A truck or crane that brings reels to the stands, one after another.")
_entry("web path", "The rollers that bring the webs from the stands to the slitter.")
_entry("splice", "Joining a new reel to the end of the last one, standing or at splice speed.")
_entry("butt", "Paper left on the core when a reel is changed.", "m", also="left on the cores")
_entry("web break", "A web that tears; the line stands until it is threaded again.")
_entry("slitter", "The knives that cut the webs lengthwise into lanes.")
_entry("lane", "One of the strips that the slitter makes; each fills a pocket of its own.")
_entry("edge trim", "The strips that the slitter takes off both edges of the webs.", "kg")
_entry("cutter", "The knives that cut all lanes across into sheets.", "cuts/min")
_entry("cut", "One stroke of the cutter: a sheet of every web in every lane.")
_entry("gate", "Rejects cuts after stops, around splices and joints, and for defects.")
_entry("overlap belt", "Lays the sheets over one another; it can hold some back for a moment.")
_entry("pocket", "Where the sheets of a lane gather until they are a ream.", also="pockets")
_entry("sheeter", "All from the stands to the pockets, which runs and stands as one.")
_entry("ream", "A counted pack of sheets, 500 as a rule.", "reams")
_entry("set", "The reams of all pockets, which the transfer lifts together.", "reams")
_entry("transfer", "Grips a set, carries it over, sets it on the bridge and goes back.")
_entry(
    "bridge", "The conveyor that takes reams to the wrappers and holds them meanwhile: a buffer."
)
_entry(
    "buffer", "Room between two stations, so that a stop of one does not reach the other at once."
)
_entry("place", "Room for one ream on the bridge.", "reams", also="places; places on the bridge")
_entry(
    "level",
    "Reams on the bridge from which the sheeter slows, stops or restarts, or the wrappers hurry.",
    "reams",
    also="levels; slow from; stop at; restart at; catch up from",
)
_entry("wrapper", "Wraps reams one by one.", "reams/min", also="wrappers")
_entry("rework", "Wrapping again by hand a ream whose wrap was spoiled.")
_entry("outfeed", "What takes wrapped reams away; full, it blocks the wrappers.", "reams/min")
_entry(
    "carton packer",
    "Puts groups of reams into cartons and closes them. A carton needs all its reams.",
    "cartons/min",
)
_entry("blank", "A flat carton. A carton packer takes them from a magazine that people fill.")
_entry(
    "palletiser",
    "Lays cartons on pallets, layer by layer; full pallets wait until they are taken away.",
    "cartons/min",
)
_entry("change-over", "Work between two orders: another grade, size or number of lanes.", "min")
_entry("run-up", "Bringing the webs from standing to rated speed.", "m/min per s")
_entry(
    "ramp by hand", "Bringing the webs up in steps, as the crew does once they are threaded.", "min"
)

# States of a station.
_entry("running", "Working at its rated speed.", "h")
_entry("slowed", "Working below its rated speed: in a run-up, at splice speed, or by a level.", "h")
_entry("starved", "Standing because nothing comes from the station before.", "h")
_entry("blocked", "Standing because the station behind has no room.", "h")
_entry("down", "Standing for a stop of its own.", "h")
_entry("being changed over", "Standing for a splice, a reel or roll change, or another order.", "h")
_entry("waiting for people", "Standing because nobody of the crew is free to see to it.", "h")
_entry("waiting for a reel", "Standing because the next reel is not prepared yet.", "h")
_entry("planned stop", "Standing as planned: a break, cleaning, maintenance, or no shift.", "h")
_entry("its pace", "In place of a cause: the other station runs, and is only too slow.")
_entry("stop cause", "A named reason why a station stops, with how often and for how long.")

_entry(
    "changed by plan",
    "A wearing part is changed at a set age, on the meter of its stop cause, if it lasts so long.",
    also="by plan; planned change",
)
_entry("run to failure", "A wearing part is left in use until it fails.")

# Rates and effectiveness.
_entry("nameplate", "What a station could make at its rated speed, without any stop.", "reams/min")
_entry("net rate", "The rated speed less the station's own stops, as if it never waited.")
_entry("bottleneck", "The station whose improvement brings most: what holds the line.")
_entry(
    "sole bottleneck",
    "Share of time in which only this station has the longest active period.",
    "%",
    "Roser, Nakano and Tanaka 2001",
    also="sets the pace",
)
_entry("planned busy time", "The time in which the line is meant to work.", "h", _ISO_22400)
_entry("availability", "Actual production time over planned busy time.", "%", _ISO_22400)
_entry(
    "performance",
    "Planned run time of what was made over actual production time (there: effectiveness).",
    "%",
    _ISO_22400,
)
_entry("quality", "Good reams over reams made (there: quality ratio).", "%", _ISO_22400)
_entry(
    "OEE",
    "Overall equipment effectiveness: availability times performance times quality.",
    "%",
    _ISO_22400,
    also="effectiveness (OEE)",
)
_entry("good output", "Planned time that became good reams, at rated speed.", "h", _NAKAJIMA)
_entry(
    "breakdowns",
    "Time lost to failures too long for minor stops, here or at the station waited for.",
    "h",
    _NAKAJIMA,
)
_entry(
    "set-up and adjustment",
    "Time lost to splices, reel, roll and planned knife changes and change-overs.",
    "h",
    _NAKAJIMA,
)
_entry(
    "idling and minor stops",
    "Time lost to shorter failures, and to waiting for a station that is only slower.",
    "h",
    _NAKAJIMA,
)
_entry("reduced speed", "Time lost by working below rated speed.", "h", _NAKAJIMA)
_entry("start-up rejects", "Time spent on what is rejected after a standstill.", "h", _NAKAJIMA)
_entry("process rejects", "Time spent on what is rejected or spoiled otherwise.", "h", _NAKAJIMA)
_entry(
    "drawn while nothing is made",
    "Energy of a station while it stands for whatever reason, over all it draws.",
    "%",
)
_entry(
    "work still on the line",
    "Begun but neither good nor lost when the count ends, less what was so when it began.",
    "h",
)
_entry("good reams", "Reams wrapped well, or saved by rework.", "reams", also="good reams per hour")
_entry(
    "avoidable waste",
    "Paper lost that need not be: what is not in good reams, less their trim and surplus.",
)
_entry(
    "trim and surplus",
    "Edge trim and sheets above the count of good reams: paper of the ream, over paper used.",
    "%",
)

# Reliability.
_entry(
    "MTBF",
    "Mean time a station works between two stops of one cause; here counted on the cause's meter.",
    "h",
    _IEC_192,
    also="mean interval",
)
_entry("MTTR", "Mean time to restore after a stop.", "min", _IEC_192, also="mean time to restore")
_entry(
    "meter", "What a stop cause counts to fall due: hours of running, km, cuts, reams or the clock."
)
_entry("law", "The distribution that intervals or times are drawn from, by its mean and spread.")
_entry(
    "fit",
    "How well a law tells the values of a log. Laws are found by maximum likelihood, their kind by"
    " AICc (Akaike's criterion for few values). Intervals of exponential laws are exact; others,"
    " and whether a law fits at all (Anderson and Darling 1952), by the parametric bootstrap:"
    " many logs drawn from that law.",
)
_entry("trend", "Whether stops come more or less often as time goes on (Laplace test).")
_entry(
    "mean of all",
    "Mean interval from several logs together; mean before: from those before the newest alone.",
    also="mean before",
)
_entry(
    "width",
    "How much narrower several logs make an interval than those before the newest alone, as ratio.",
    "%",
)

# Simulation and statistics.
_entry("replication", "One run of the line with random numbers of its own.", also="run")
_entry("same random numbers", "Variants meet the same stops, so that only the change differs.")
_entry("seed", "The number all random numbers follow from: the same seed, the same figures.")
_entry("run-in", "Time at the start of a run that is not counted.", "h")
_entry("interval", "Where the true mean lies with 95 % confidence, by Student's t; written ±.")
_entry(
    "share of what is not known",
    "What one doubt alone makes of the variance that all doubts make; the shares add up to 100 %.",
    "%",
)
_entry(
    "plant that agrees with what is known",
    "A line with every doubted figure at some place between its ends, as likely as its doubt says.",
)
_entry("long run", "A run so long that its successive parts no longer differ.", "h")
_entry(
    "unpaired",
    "The ± of the same difference had each run had random numbers of its own.",
    also="unpaired ±; ± by separate runs",
)
_entry(
    "two-station estimate",
    "Output by formula: all before and all behind the bridge as two stations with a buffer.",
    "reams",
    also="by formula, two stations",
)

# Money.
_entry("contribution", "Price of a ream less the paper and all else that a further ream costs.")
_entry("parts", "Money a year for worn parts, those that failed and those changed by plan.")
_entry("payback", "Capital over what the change brings a year; interest not counted.", "years")
_entry("present value", "What a change brings over its life, discounted, less its capital.")
_entry(
    "beyond its cost",
    "What a change brings in a year, less what its capital must bring back in each year of its"
    " life. Where no money is known: reams a week, less the share of the output asked of each"
    " place.",
)
_entry("break-even demand", "Reams the market must take for the change to pay.", "reams a year")

GLOSSARY: tuple[GlossaryEntry, ...] = tuple(sorted(_ENTRIES, key=lambda each: each.term.lower()))


class NoSuchTermError(ValueError):
    """A word that the glossary has not; says which are close."""


def find_terms(asked: str) -> tuple[GlossaryEntry, ...]:
    """The entry of that name, else all with it in their names.

    Raises :class:`NoSuchTermError` where there is none.

    >>> [each.term for each in find_terms("mttr")]
    ['MTTR']
    """
    wanted = asked.strip().lower()
    named = {each: [name.lower() for name in each.names] for each in GLOSSARY}
    found = [each for each, names in named.items() if wanted in names]
    if not found:
        found = [each for each, names in named.items() if any(wanted in name for name in names)]
    if not wanted or not found:
        every = [name for names in named.values() for name in names]
        right = nearest(wanted, every) or "a word of `linesim glossary`"
        raise NoSuchTermError(f"{asked!r} is not in the glossary; right would be: {right}")
    return tuple(found)


def terms_in(text: str) -> tuple[GlossaryEntry, ...]:
    """The entries whose term, or another word for it, stands in the text."""
    return tuple(
        each
        for each in GLOSSARY
        if re.search(rf"\b(?:{'|'.join(re.escape(name) for name in each.names)})(?!\w)", text)
    )


def glossary_text(asked: str = "") -> str:
    """The glossary as ``linesim glossary`` prints it; with a term, that one alone."""
    return "\n".join(map(_in_lines, find_terms(asked) if asked else GLOSSARY)) + "\n"


def _in_lines(entry: GlossaryEntry) -> str:
    unit = f" [{entry.unit}]" if entry.unit else ""
    also = f" Also: {', '.join(entry.also)}." if entry.also else ""
    source = f" Source: {entry.source}." if entry.standard else ""
    said = f"{entry.term}{unit}: {entry.meaning}{source}{also}"
    return textwrap.fill(said, WIDTH, subsequent_indent="    ", break_on_hyphens=False)
