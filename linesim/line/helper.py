"""What the rules ask Python for, when Python runs them: draws, reels, room for more history."""

from __future__ import annotations

from linesim.line.chance import MORE_DRAWS
from linesim.line.history import LOG_IS_FULL
from linesim.line.line import Line
from linesim.line.site import Site


class Helper:
    """Helps one line."""

    def __init__(self, site: Site, line: Line) -> None:
        self._site = site
        self._line = line
        self._logs = line.history.logs()

    def __call__(self, what: int, number: int) -> None:
        """Give what was asked for; see ``typed.outside``."""
        line = self._line
        if what == MORE_DRAWS:
            stream = self._site.chance.streams[number]
            stream.values = stream.source.more(stream.next).listed()
        elif what == LOG_IS_FULL:
            log, speeds = self._logs[number], line.history.speeds
            log.take(log.rows)
            log.rows.clear()
            if log is line.history.motion:
                line.history.take_speeds(speeds)
                speeds.clear()
        else:
            stand = line.webs.unwind.stands[number]
            thickness = self._site.goods[line.product].thickness_um
            reels = stand.store.reels(thickness, stand.fetched).listed()
            stand.lengths_um, stand.joints_end = reels.lengths, reels.joints_end
            stand.joints_um = reels.joints
