"""The V of the line: what each station is rated at, what its own stops leave, what is delivered."""

from __future__ import annotations

import math
from functools import partial
from typing import Any

from linesim.record.capacity import WRAPPERS, slowest_net
from linesim.report.answers.cells import Column
from linesim.report.answers.plots import key_below, label_rows, number_axis
from linesim.report.colours import LIGHT
from linesim.report.page.drawing import Drawing
from linesim.report.picture_style import HALF
from linesim.report.plain import shown_rates, station_name
from linesim.statistics import rough
from linesim.studies import Replicated

_ROW, _FRAME = 17.0, 62.0


def rates_v(replicated: Replicated) -> Drawing:
    """Rated and net rates as bars, and what the line delivers as a line across them."""
    from linesim.report.page.figure_drawing import figure_drawing

    scenario = replicated.scenario
    rates = shown_rates(scenario)
    delivered = replicated.measure("good_reams_per_hour")
    said = "; ".join(
        f"{station_name(scenario, r.station)} rated {rough(r.rated)}, net {rough(r.net)}"
        if math.isfinite(r.rated)
        else f"{r.station} sets no pace"
        for r in rates
    )
    about = f"Reams a minute: {said}. The line delivers {delivered.text(1 / 60)}."
    height = _FRAME + _ROW * len(rates)
    paint = partial(_paint, replicated)
    return figure_drawing(paint, HALF, height, "Rated and net rates", about)


def _paint(replicated: Replicated, axes: Any) -> None:
    scenario = replicated.scenario
    rates, slow = shown_rates(scenario), slowest_net(scenario)
    delivered = replicated.measure("good_reams_per_hour")
    per_min = delivered.mean / 60
    interval = 0 < delivered.both < math.inf
    finite = [rate.rated for rate in rates if math.isfinite(rate.rated)]
    ends = [delivered.low / 60, delivered.high / 60] if interval else []
    number_axis(axes, "x", Column("reams a minute"), [0.0, *finite, per_min, *ends])
    axes.grid(axis="x")
    axes.spines[["left", "bottom"]].set_visible(False)
    rows: list[tuple[str, str, bool]] = []
    words = {"rated": "rated", "net": "net", "low": "lowest net"}
    for n, rate in enumerate(rates):
        low = rate.station == slow.station or (
            slow.station == WRAPPERS and len(scenario.wrapper) == 1 and rate.net == slow.net
        )
        name = station_name(scenario, rate.station)
        if not math.isfinite(rate.rated):
            rows.append((name, "any pace", low))
            continue
        look = {"facecolor": LIGHT["planned"], "edgecolor": LIGHT["quiet"], "linewidth": 0.6}
        axes.barh(n, rate.rated, height=0.76, label=words.pop("rated", None), **look)
        fill, key = ("accent", "low") if low else ("slowed", "net")
        look = {"facecolor": LIGHT[fill], "edgecolor": "none"}
        axes.barh(n, rate.net, height=0.44, label=words.pop(key, None), **look)
        rows.append((name, f"{rough(rate.net)} of {rough(rate.rated)}", low))
    said = f"delivered {delivered.text(1 / 60)}"
    axes.axvline(per_min, color=LIGHT["good"], linewidth=1.6, label=said)
    for end in ends:
        axes.axvline(max(0.0, end), color=LIGHT["good"], linewidth=0.6)
    label_rows(axes, rows)
    key_below(axes, 2)
