"""Web breaks: where they fall due, what can set one off, how long re-threading takes.

A web breaks by the length it has run, weighted with its speed, and by chance at splices, joints
and restarts. Each web's k-th break takes the k-th draws of its own streams.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from linesim import paper
from linesim.line.chance import Stream, draw, falls, first_draw
from linesim.line.typed import Row, add, shorten
from linesim.record.states import Kind
from linesim.scenario.units import MINUTE

if TYPE_CHECKING:
    from linesim.line.line import Line
    from linesim.line.site import Site

SOON_UM = 1_000_000
"""How far the webs run on before a weak place in the machine gives way."""


@dataclass(slots=True)
class WebLuck:
    """What can happen to one web."""

    gaps: Stream
    """Worn length from one break to the next, um."""
    splice: Stream
    """Whether a splice that leaves the stand breaks it; the same of a mill's joint, a restart."""
    joint: Stream
    restart: Stream
    clamp: Stream
    """Whether the clamp holds its tail."""
    held: Stream
    """Times to re-thread where it does ..."""
    lost: Stream
    """... and where it does not."""


@dataclass(slots=True)
class Breaks:
    """The luck of every web, and the breaks to come."""

    cause: int
    people: int
    """To re-thread."""
    luck: Row[WebLuck]
    fall_due: bool
    """Webs break by the length they run."""
    due_um: Row[float]
    """Worn length at which each web breaks next."""
    soon_webs: Row[int]
    """Breaks about to happen: webs ..."""
    soon_um: Row[int]
    """... and places."""
    checked_webs: Row[int]
    """Those looked at now, while some of them happen."""
    checked_um: Row[int]


def new_breaks(site: Site) -> Breaks:
    """No break is about to happen."""
    scenario, chance = site.scenario, site.chance
    path, reels, webs = scenario.web_path, scenario.reels, scenario.unwind.webs
    cause = site.causes.number("web break", Kind.STOP)
    length = paper.reel_length_m(
        reels.diameter_mm, reels.core_diameter_mm, scenario.product.thickness_um
    )
    per_um = path.breaks_per_100_reels / 100 / (length * 1e6)

    def luck(web: int) -> WebLuck:
        def coin(likely: float, what: str) -> Stream:
            return chance.coin(likely, "web_path", web, what)

        return WebLuck(
            gaps=chance.gaps(per_um, "web_path", web, "break") if per_um > 0 else chance.none(),
            splice=coin(path.break_chance_at_splice, "splice"),
            joint=coin(path.break_chance_at_joint, "joint"),
            restart=coin(path.break_chance_at_restart, "restart"),
            clamp=coin(path.clamp_holds_chance, "clamp holds"),
            held=chance.stream(path.rethread_held_min, MINUTE, "web_path", web, "held"),
            lost=chance.stream(path.rethread_lost_min, MINUTE, "web_path", web, "lost"),
        )

    lucks = [luck(web) for web in range(webs)]
    due = [float(first_draw(each.gaps)) if per_um > 0 else 0.0 for each in lucks]
    return Breaks(
        cause=cause,
        people=path.rethread_people,
        luck=Row("webs", webs, lucks),
        fall_due=per_um > 0,
        due_um=Row("webs", webs, due),
        soon_webs=Row("breaks about to happen", webs),
        soon_um=Row("breaks about to happen", webs),
        checked_webs=Row("breaks about to happen", webs),
        checked_um=Row("breaks about to happen", webs),
    )


# -- rules ---------------------------------------------------------------------------------------


def expect_break(line: Line, web: int, place_um: int) -> None:
    """This web will break when the webs have run to this place."""
    breaks = line.webs.breaks
    for i in range(len(breaks.soon_webs)):
        if breaks.soon_webs[i] == web:
            breaks.soon_um[i] = min(breaks.soon_um[i], place_um)
            return
    add(line, breaks.soon_webs, web)
    add(line, breaks.soon_um, place_um)


def no_longer_expected(breaks: Breaks, web: int) -> bool:
    """It happens: it is no longer about to. False where it is not any more."""
    kept = 0
    for i in range(len(breaks.soon_webs)):
        if breaks.soon_webs[i] != web:
            breaks.soon_webs[kept] = breaks.soon_webs[i]
            breaks.soon_um[kept] = breaks.soon_um[i]
            kept += 1
    found = kept < len(breaks.soon_webs)
    shorten(breaks.soon_webs, kept)
    shorten(breaks.soon_um, kept)
    return found


def forget_expected(breaks: Breaks) -> None:
    """The paper in which breaks were about to happen is gone."""
    shorten(breaks.soon_webs, 0)
    shorten(breaks.soon_um, 0)


def rethread_ns(line: Line, web: int) -> int:
    """Time to re-thread: short where the clamp has held the tail, long where not."""
    luck = line.webs.breaks.luck[web]
    held = falls(line, luck.clamp)
    short, long = draw(line, luck.held), draw(line, luck.lost)
    return short if held else long
