"""Contradictions of reels: what they hold, what they weigh, how wide their web is.

Limits that are not arithmetic (the least trim that can be drawn off an edge) are common practice,
no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from linesim import paper
from linesim.scenario.contradictions_of_material import all_made, own
from linesim.scenario.faults import Contradiction, Path, at
from linesim.scenario.reels_together import threading_m
from linesim.scenario.scenario import Scenario
from linesim.statistics.formatting import counted

LEAST_EDGE_TRIM_MM = 3.0
_SAME_MM = 1e-6


def _reels(s: Scenario) -> Iterator[Contradiction]:
    r = s.reels
    diameters = at("reels", "diameter_mm", "core_diameter_mm")
    if r.core_diameter_mm >= r.diameter_mm:
        yield Contradiction(
            ("reels", "core_diameter_mm"),
            f"the core is not smaller than the reel of {r.diameter_mm:g} mm",
            "a core below the reel's diameter, usually 76 or 152.4 mm",
            diameters,
        )
        return
    needed_m = threading_m(s)
    too_short = too_heavy = False
    for where, name, sizes in all_made(s):
        thin = (("product", "thickness_um"), *own(where, "thickness_um"))
        length_m = paper.reel_length_m(r.diameter_mm, r.core_diameter_mm, sizes.thickness_um)
        if length_m <= needed_m and not too_short:
            too_short = True
            yield Contradiction(
                ("reels", "diameter_mm"),
                f"a fresh reel holds {length_m:,.0f} m in {name}, no more than butt, web path"
                f" and run-down take ({needed_m:,.0f} m)",
                "a larger reel, a shorter butt or path, or a harder run-down",
                (
                    *diameters,
                    *thin,
                    ("unwind", "butt_length_m"),
                    ("web_path", "path_length_m"),
                    *at("cutter", "web_speed_m_per_min", "run_down_m_per_min_per_s"),
                ),
            )
        width = sizes.web_width_mm
        mass = paper.reel_mass_kg(
            r.diameter_mm, r.core_diameter_mm, width, sizes.grammage_g_per_m2, sizes.thickness_um
        )
        if mass > s.unwind.stand_limit_kg and not too_heavy:
            too_heavy = True
            yield Contradiction(
                ("reels", "diameter_mm"),
                f"a fresh reel of {name}, {width:g} mm wide, weighs {mass:,.0f} kg; a stand"
                f" takes {s.unwind.stand_limit_kg:,.0f} kg",
                "a smaller reel, fewer lanes, or a higher stand_limit_kg in [unwind]",
                (
                    *diameters,
                    *thin,
                    ("unwind", "stand_limit_kg"),
                    *at("product", "grammage_g_per_m2", "sheet_width_mm"),
                    *at("slitter", "lanes", "edge_trim_mm"),
                    ("reels", "width_mm"),
                    *own(where, "grammage_g_per_m2", "sheet_width_mm", "lanes", "reel_width_mm"),
                ),
            )


def _widths(s: Scenario) -> Iterator[Contradiction]:
    """A web as bought must be wide enough for the lanes and what is slit off at both edges."""
    said_mm, seen = s.slitter.edge_trim_mm, set()
    for where, name, sizes in all_made(s):
        width, lanes = sizes.reel_width_mm, sizes.lanes_width_mm
        if width is None:
            continue
        has_own = bool(where) and s.order[int(where[1])].reel_width_mm is not None
        field: Path = (*where, "reel_width_mm") if has_own else ("reels", "width_mm")
        trim_mm = (width - lanes) / 2
        concerns = (
            *at("slitter", "lanes", "edge_trim_mm"),
            ("product", "sheet_width_mm"),
            *own(where, "lanes", "sheet_width_mm"),
        )
        wide = f"{name} has {sizes.lanes} lanes of {sizes.sheet_width_mm:g} mm"
        agrees = said_mm is not None and not has_own
        if agrees and not math.isclose(trim_mm, said_mm or 0.0, abs_tol=_SAME_MM):
            found = (
                f"{wide}: {trim_mm:g} mm are left at each edge, but edge_trim_mm is {said_mm:g} mm",
                f"width_mm or edge_trim_mm, not both; or {lanes + 2 * (said_mm or 0):g} mm",
            )
        elif trim_mm < LEAST_EDGE_TRIM_MM and not agrees:
            slits = paper.slitting_positions(sizes.lanes)
            found = (
                f"{wide}: {lanes:g} mm, and its {slits} slits take at least"
                f" {LEAST_EDGE_TRIM_MM:g} mm off each edge",
                f"{lanes + 2 * LEAST_EDGE_TRIM_MM:g} mm or more, fewer lanes, or narrower sheets",
            )
        else:
            continue
        if (field, found) not in seen:
            seen.add((field, found))
            yield Contradiction(field, *found, concerns)


def _joints(s: Scenario) -> Iterator[Contradiction]:
    """Joints at places: then their number is said, and the reels must reach so far."""
    r, places = s.reels, s.reels.mill_joints_at_m
    if not places:
        return
    if r.mill_joints_per_reel:
        yield Contradiction(
            ("reels", "mill_joints_per_reel"),
            f"mill_joints_at_m says where {counted(len(places), 'joint')} of every reel"
            f" {'is' if len(places) == 1 else 'are'}",
            "one of the two",
            at("reels", "mill_joints_at_m"),
        )
    if 0 in places:
        yield Contradiction(
            ("reels", "mill_joints_at_m"),
            "a joint at the outer end of a reel joins nothing",
            "places above 0 m from the outside",
        )
    if len(set(places)) < len(places):
        yield Contradiction(
            ("reels", "mill_joints_at_m"), "two joints are at one place", "each place once"
        )
    if r.core_diameter_mm >= r.diameter_mm:
        return
    longest = max(
        paper.reel_length_m(r.diameter_mm, r.core_diameter_mm, sizes.thickness_um)
        for _, _, sizes in all_made(s)
    )
    if max(places) >= longest:
        yield Contradiction(
            ("reels", "mill_joints_at_m"),
            f"{max(places):,.10g} m from the outside is beyond the end of a fresh reel"
            f" of {longest:,.0f} m",
            f"below {longest:,.0f} m",
            (
                *at("reels", "diameter_mm", "core_diameter_mm"),
                ("product", "thickness_um"),
            ),
        )


CHECKS = (_reels, _widths, _joints)
