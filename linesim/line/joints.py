"""Where a web is joined and may part: splices, the mill's joints, and the luck of each web.

Each web's k-th break takes the k-th draws of its own streams.
"""

from __future__ import annotations

from dataclasses import dataclass

from linesim.line.books import JOINT, SPLICE
from linesim.line.chance import Stream, falls, first_draw
from linesim.line.clock import NEVER
from linesim.line.cutting import reject_around
from linesim.line.line import Line, Site
from linesim.line.stand import Stand, has_joint, joint_um
from linesim.line.typed import Ref, Row, add, shorten
from linesim.record.states import Kind
from linesim.scenario.goods import usual_breaks_per_um
from linesim.scenario.units import MINUTE

SOON_UM = 1_000_000
"""How far the webs run on before a weak place in the machine gives way."""


@dataclass(slots=True)
class Web:
    """What can happen to one web, and where it is to break."""

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
    due_um: float
    """Worn length at which it breaks next, on the reel it is on."""
    pace: float = 1.0
    """How many times as often as a mean reel that reel breaks."""
    soon_um: int = NEVER
    """Place at which it is about to break at a weak place in the machine; NEVER: it is not."""


@dataclass(slots=True)
class Breaks:
    """Breaks of the webs."""

    cause: int
    people: int
    """To re-thread."""
    webs: Row[Web]
    soon: Row[Ref[Web]]
    """Those about to break at a weak place in the machine, in the order in which it came there."""
    fall_due: bool
    """Webs break by the length they run."""
    good_pace: float
    """How many times as often as a mean reel a good one breaks ..."""
    bad_pace: float
    """... and a bad one."""


def new_breaks(site: Site) -> Breaks:
    scenario, chance = site.scenario, site.chance
    path, reels, webs = scenario.web_path, scenario.reels, scenario.unwind.webs
    per_um = usual_breaks_per_um(scenario)
    good_pace = 1 / (1 + reels.bad_share * (reels.bad_breaks_factor - 1))

    def new_web(web: int) -> Web:
        def coin(likely: float, what: str) -> Stream:
            return chance.coin(likely, "web_path", web, what)

        gaps = chance.gaps(per_um, "web_path", web, "break") if per_um > 0 else chance.none()
        return Web(
            gaps=gaps,
            splice=coin(path.break_chance_at_splice, "splice"),
            joint=coin(path.break_chance_at_joint, "joint"),
            restart=coin(path.break_chance_at_restart, "restart"),
            clamp=coin(path.clamp_holds_chance, "clamp holds"),
            held=chance.stream(path.rethread_held_min, MINUTE, "web_path", web, "held"),
            lost=chance.stream(path.rethread_lost_min, MINUTE, "web_path", web, "lost"),
            due_um=float(first_draw(gaps)) if per_um > 0 else 0.0,
        )

    return Breaks(
        cause=site.causes.number("web break", Kind.STOP),
        people=path.rethread_people,
        webs=Row("webs", webs, [new_web(web) for web in range(webs)]),
        soon=Row("breaks about to happen", webs),
        fall_due=per_um > 0,
        good_pace=good_pace,
        bad_pace=good_pace * reels.bad_breaks_factor,
    )


def expect_break(line: Line, web: Web, place_um: int) -> None:
    """It will break when the webs have run to this place."""
    if web.soon_um == NEVER:
        add(line, line.webs.breaks.soon, web)
    web.soon_um = min(web.soon_um, place_um)


def expect_no_break(breaks: Breaks) -> None:
    """The paper in which breaks were about to happen is gone."""
    for web in breaks.soon:
        web.soon_um = NEVER
    shorten(breaks.soon, 0)


def splice_leaves(line: Line, stand: Stand) -> None:
    """A new reel has been joined to a threaded web: the joint is on its way, and holds or not."""
    motion, web = line.webs.motion, line.webs.breaks.webs[stand.web]
    reject_around(line, motion.place_um, line.webs.gate.cuts_per_splice, SPLICE)
    fails = False
    if line.webs.unwind.prepares:
        fails = falls(line, stand.splice_fails)
    breaks = falls(line, web.splice)
    if fails or breaks:
        expect_break(line, web, motion.place_um + (0 if motion.speed > 0 else SOON_UM))


def joints_reached(line: Line) -> None:
    """The webs have run to here: the mill's joints that have left their reels."""
    place = line.webs.motion.place_um
    for stand in line.webs.unwind.stands:
        while has_joint(stand) and joint_um(stand) <= place:
            reject_around(line, joint_um(stand), line.webs.gate.cuts_per_joint, JOINT)
            stand.next_joint += 1
            web = line.webs.breaks.webs[stand.web]
            if falls(line, web.joint):
                expect_break(line, web, place + 1)
