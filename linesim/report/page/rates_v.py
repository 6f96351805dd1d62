"""The V of the line: what each station is rated at, what its own stops leave, what is delivered."""

from __future__ import annotations

import math

from linesim.record.capacity import WRAPPERS, slowest_net
from linesim.report.page.drawing import Drawing, shortened
from linesim.report.page.plot import Plane
from linesim.report.plain import shown_rates, station_name
from linesim.report.scales import Scale
from linesim.statistics import rough
from linesim.studies import Replicated

_WIDTH, _HEIGHT = 480.0, 300.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 44.0, 470.0, 30.0, 244.0


def rates_v(replicated: Replicated) -> Drawing:
    """Rated and net rates as columns, and what the line delivers as a line across them."""
    scenario = replicated.scenario
    rates = shown_rates(scenario)
    slow = slowest_net(scenario)
    delivered = replicated.measure("good_reams_per_hour")
    per_min = delivered.mean / 60
    said = "; ".join(
        f"{station_name(scenario, r.station)} rated {rough(r.rated)}, net {rough(r.net)}"
        if math.isfinite(r.rated)
        else f"{r.station} sets no pace"
        for r in rates
    )
    drawing = Drawing(
        _WIDTH,
        _HEIGHT,
        "Rated and net rates",
        f"Reams a minute: {said}. The line delivers {delivered.text(1 / 60)}.",
    )
    finite = [rate.rated for rate in rates if math.isfinite(rate.rated)]
    interval = 0 < delivered.both < math.inf
    most = max([*finite, delivered.high / 60 if interval else per_min])
    scale = Scale(0, 1.05 * most or 1.0, _BOTTOM, _TOP)
    Plane(drawing, Scale(0, 1, _LEFT, _RIGHT), scale).mark_y("reams a minute")
    step = (_RIGHT - _LEFT) / len(rates)
    width = min(56.0, step * 0.62)
    for number, rate in enumerate(rates):
        middle = _LEFT + step * (number + 0.5)
        x = middle - width / 2
        low = rate.station == slow.station or (
            slow.station == WRAPPERS and len(scenario.wrapper) == 1 and rate.net == slow.net
        )
        if math.isfinite(rate.rated):
            top, net = scale.at(rate.rated), scale.at(rate.net)
            drawing.rect(x, top, width, _BOTTOM - top, "planned", "quiet")
            drawing.rect(x, net, width, _BOTTOM - net, "accent" if low else "slowed")
            drawing.text(middle, top - 5, rough(rate.rated), "quiet", size=12, anchor="middle")
            inside = net < _BOTTOM - 22
            colour = "card" if low and inside else "ink"
            y = _BOTTOM - 8 if inside else net - 3
            drawing.text(middle, y, rough(rate.net), colour, size=12.5, anchor="middle", bold=True)
        else:
            drawing.text(middle, _BOTTOM - 8, "any pace", "quiet", size=12, anchor="middle")
        name = shortened(station_name(scenario, rate.station), step - 2, 12)
        drawing.text(middle, _BOTTOM + 16, name, size=12, anchor="middle", bold=low)
    y = scale.at(per_min)
    if interval:
        above, below = scale.at(delivered.high / 60), scale.at(max(0.0, delivered.low / 60))
        drawing.rect(_LEFT, above, _RIGHT - _LEFT, max(below - above, 0.5), "", "good")
    drawing.line((_LEFT, y), (_RIGHT, y), colour="good", thick=2)
    drawing.line((_LEFT, _HEIGHT - 12), (_LEFT + 22, _HEIGHT - 12), colour="good", thick=2)
    text = f"delivered {delivered.text(1 / 60)}"
    drawing.text(_LEFT + 28, _HEIGHT - 8, text, "good", size=12.5, bold=True)
    key = ((196, "rated", "planned"), (258, "net", "slowed"), (312, "lowest net", "accent"))
    for at, text, fill in key:
        stroke = "quiet" if text == "rated" else ""
        drawing.rect(_LEFT + at, _HEIGHT - 18, 12, 11, fill, stroke)
        drawing.text(_LEFT + at + 16, _HEIGHT - 8, text, "quiet", size=12.5)
    return drawing
