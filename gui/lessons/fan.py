"""The same stop under several lucks: how far behind the line falls, a line for each run."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import linesim
from gui.charts import ChartWidget

if TYPE_CHECKING:
    from gui.charts.plot import Plot

_HEADROOM = 1.1
_CAPTION = "Each thin line is one run; they differ by chance alone."


class FanView(ChartWidget):
    """Of the truth of a lesson."""

    def show_fan(self, lesson: linesim.lessons.Lesson, fan: linesim.lessons.StopFan) -> None:
        """Draw this one."""
        self.about = (lesson.title,)
        self.source = lesson.title
        self.show_drawing(
            type(self),
            linesim.report.FAN_TITLE,
            partial(_draw_fan, fan=fan, stands_min=lesson.stop.minutes),
            lambda: linesim.report.fan_table(fan),
            caption=_CAPTION,
        )


def _draw_fan(plot: Plot, fan: linesim.lessons.StopFan, stands_min: float) -> None:
    from gui.charts.keys import Key
    from gui.charts.pens import DOTS, faint
    from gui.charts.readout import Spot
    from gui.charts.scales import along, upwards

    look, minutes = plot.look, fan.minutes
    means = linesim.report.fan_means(fan)
    heights = [reams for run in fan.reams for reams in run]
    # Over the highest there is room for the words of the moment at which it runs again.
    up = upwards([*heights, max(linesim.report.LEAST_REAMS, _HEADROOM * max(heights))], [], 0, 1)
    plot.put_scales(along(minutes, 0, 1), up, columns=True)
    plot.put_axis("bottom", "minutes after the stop began")
    plot.put_axis("left", "reams fewer")
    plot.put_level(0, plot.pen(look.text))
    plot.put_upright(stands_min, "it runs again", 0.94, plot.pen(look.text, 1, DOTS))
    known = [(at, mean) for at, mean in zip(minutes, means, strict=True) if mean is not None]
    upper = [(at, mean.mean + mean.both) for at, mean in known]
    lower = [(at, mean.mean - mean.both) for at, mean in known]
    if known:
        plot.put_band([*upper, *reversed(lower)])
    for run in fan.reams:
        plot.put_line(zip(minutes, run, strict=True), look.ghost)
    plot.put_line([(at, mean.mean) for at, mean in known], look.curve, 2)
    plot.reading.spots = tuple(
        Spot(plot.place(at, sum(reams) / len(reams)), _words(at, mean, reams))
        for at, mean, *reams in zip(minutes, means, *fan.reams, strict=True)
    )
    keys = [Key("one run", plot.pen(look.ghost))]
    if known:
        level = f"{100 * known[0][1].level:.0f} %"
        line = plot.pen(look.curve, 2)
        keys.append(Key(f"their mean, with its {level} interval", line, faint(look.curve)))
    plot.put_keys(*keys)


def _words(at_min: float, mean: linesim.statistics.Interval | None, reams: list[int]) -> str:
    """What the runs come to at a moment."""
    said = f"{at_min:.3g} min after the stop began: "
    if mean is None:
        return f"{said}{reams[0]} reams fewer in the one run"
    ends = f"from {min(reams)} to {max(reams)} in {len(reams)} runs"
    return f"{said}{mean.text()} reams fewer\n{ends}"
