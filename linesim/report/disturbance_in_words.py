"""What a forced stop did to one shift, and what it costs over many replications, in sentences.

One shift is two runs on the same draws, of which one has the stop. The sentences say so, since
another shift answers differently.
"""

from __future__ import annotations

from linesim.record.accounts import KNIVES, knives
from linesim.record.disturbance import Disturbance, rated_set_ns
from linesim.record.record import Record
from linesim.record.states import State, station_words, with_article
from linesim.report.plain import capital
from linesim.report.ripple_in_words import clock_words, duration_words
from linesim.report.words import TWO_PARTS
from linesim.scenario import WEB_STATIONS
from linesim.scenario.units import SECOND
from linesim.statistics import counted, rounded
from linesim.studies.stop_over_replications import StopOverReplications

WITHOUT_THE_STOP = "without the stop"
"""Name of the same run without what was put in."""


def disturbance_words(record: Record, found: Disturbance) -> tuple[str, ...]:
    """Sentences on the stop, the reams lost, whom it reached, the bridge and when it was forgotten.

    ``record`` is the disturbed run. The parts of the sheeter are told by its knives. Moments are
    as ``clock_words`` says them.
    """
    starts = record.scenario.calendar.start
    asked = clock_words(found.asked_ns, starts)
    if found.began_ns is None or found.ended_ns is None:
        stop = (
            f"{_begun(found.station)} already stood at {asked},"
            f" or the run was over: the {found.cause} is not to be seen."
        )
        return (stop, _lost(found), *_after(record, found), _NOTE)
    late = ""
    if found.began_ns > found.asked_ns:
        ran_down = _ran_down(record, found)
        late = (
            f"; the webs began to run down at {asked}"
            if ran_down
            else (f": it was due at {asked}, when the station stood already")
        )
    stop = (
        f"{_begun(found.station)} stood for {duration_words(_stood(found))}"
        f" from {clock_words(found.began_ns, starts)} ({found.cause}){late}."
    )
    told = [stop, _lost(found), *_reached(record, found)]
    told += _bridge(record, found, found.began_ns)
    return (*told, *_after(record, found), _NOTE)


_NOTE = (
    "All this is about this one shift, run twice with the same random numbers, with the stop and"
    " without it. Another shift gives other figures."
)


def _begun(station: str) -> str:
    """The beginning of a sentence on a station; of the cutter people see the knives stand."""
    return capital(with_article("knives" if station == KNIVES else station_words(station)))


def _ran_down(record: Record, found: Disturbance) -> bool:
    """Whether the webs were on their way to a standstill from the moment it was due."""
    spans = record.recorded.spans
    slowed = (spans.state == State.SLOWED) & (spans.cause == record.causes.index(found.cause))
    return bool(
        (slowed & (spans.start_ns <= found.asked_ns) & (spans.end_ns > found.asked_ns)).any()
    )


def _stood(found: Disturbance) -> int:
    assert found.began_ns is not None
    assert found.ended_ns is not None
    return found.ended_ns - found.began_ns


def _reached(record: Record, found: Disturbance) -> list[str]:
    web = [number for number, name in enumerate(record.stations) if name in WEB_STATIONS]
    own = found.station in WEB_STATIONS
    told = []
    for each in found.reached:
        if each.station in web and (own or each.station != knives(record)):
            continue
        name = _begun(record.stations[each.station])
        verb = "were" if each.station == knives(record) else "was"
        after = "at once" if each.after_ns == 0 else f"{duration_words(each.after_ns)} later"
        times = f", {len(each.starts_ns)} times" if len(each.starts_ns) > 1 else ""
        told.append(
            f"{name} {verb} {each.state.words} {after},"
            f" for {duration_words(each.waited_ns)} in all{times}."
        )
    return told or ["No other station waited for it: the line swallowed the stop."]


def _bridge(record: Record, found: Disturbance, began: int) -> list[str]:
    told = []
    bridge = record.scenario.bridge
    full = "had no room for another set" if bridge.when_full == "wait" else "had run full"
    if bridge.stop_at_reams is not None:
        full = f"had come to its stop level, {bridge.stop_at_reams} reams,"
    for moment, words in ((found.bridge_full_ns, full), (found.bridge_empty_ns, "had run empty")):
        if moment is not None:
            after = "at once" if moment == began else f"{_between(began, moment)} later"
            at = clock_words(moment, record.scenario.calendar.start)
            told.append(f"The bridge {words} {after}, at {at}.")
    return told


def _between(earlier_ns: int, later_ns: int) -> str:
    """The time between two moments, so that it agrees with what the clock says of both."""
    if later_ns - earlier_ns >= 10 * SECOND:
        earlier_ns, later_ns = (each // SECOND * SECOND for each in (earlier_ns, later_ns))
    return duration_words(later_ns - earlier_ns)


def _lost(found: Disturbance) -> str:
    lost = found.reams_lost
    pair = (
        f"{found.disturbed_good_reams:,} instead of {found.undisturbed_good_reams:,} good reams"
        " by the end of the run"
    )
    if lost == 0:
        return f"It cost no ream: {found.disturbed_good_reams:,} good reams by the end either way."
    if lost < 0:
        return f"It cost no ream; by chance there were {-lost:,} more: {pair}."
    return f"It cost {counted(lost, 'ream')}: {pair}."


def _after(record: Record, found: Disturbance) -> list[str]:
    if found.in_step_ns is None:
        return [f"The line had not forgotten the stop by the end of the run{_left(found)}."]
    starts = record.scenario.calendar.start
    over = found.asked_ns if found.ended_ns is None else found.ended_ns
    how = _how(record, found.in_step_delay_ns)
    if found.in_step_ns <= over:
        told = [f"When the stop was over the line ran {how}."]
    else:
        after = _between(over, found.in_step_ns)
        since = clock_words(found.in_step_ns, starts)
        told = [f"From {since}, {after} after the stop was over, the line ran {how}."]
    if found.forgotten_ns is None:
        told.append(f"{_MET} and it was not in step by the end of the run{_left(found)}.")
    elif found.forgotten_ns > found.in_step_ns:
        how = _how(record, found.delay_ns)
        then = clock_words(found.forgotten_ns, starts)
        told.append(f"{_MET}; from {then} to the end of the run it ran {how}.")
    return told


_MET = (
    "Then something (people, a reel, a stop by the clock) met it at another point of its work"
    " than without the stop"
)


def _how(record: Record, delay_ns: int) -> str:
    if not delay_ns:
        return "as if nothing had happened"
    if abs(delay_ns) < rated_set_ns(record.scenario):
        return "as without it, to within the time of one set"
    return f"as without it, only {_later(delay_ns)}"


def _left(found: Disturbance) -> str:
    return f"; reams then came {_later(found.delay_ns)}" if found.delay_ns else ""


def _later(delay_ns: int) -> str:
    return f"{duration_words(abs(delay_ns))} {'later' if delay_ns > 0 else 'sooner'}"


def over_replications_words(found: StopOverReplications) -> str:
    """Mean with its interval, and the range over single replications."""
    end = f"by the end of a run of {found.hours:.4g} h"
    interval = found.interval
    if interval is None:
        lost = counted(found.reams_lost[0], "ream")
        return f"In another run the same stop costs {lost} {end} (no interval)."
    mean, count = interval.text(), len(found.reams_lost)
    least, most = (rounded(each, 0) for each in (found.least, found.most))
    return (
        f"Over {count} runs, each with its own other stops, the same stop at the same"
        f" moment costs {mean} reams {end} (mean and {100 * interval.level:.0f} % interval;"
        f" each made with and without it), in single runs {least} to {most}"
        f"{_BY_CHANCE if found.least < 0 else ''}." + (f" {TWO_PARTS}." if interval.doubt else "")
    )


_BY_CHANCE = " (below 0: by chance there were more)"
