"""What a forced stop costs over many lucks, in a sentence."""

from __future__ import annotations

from linesim.statistics import counted, rough, rounded
from linesim.studies.stop_over_lucks import StopOverLucks


def over_lucks_words(found: StopOverLucks) -> str:
    """Mean with its interval, and the range from luck to luck."""
    end = f"by the end of a run of {rough(found.hours)} h"
    interval = found.interval
    if interval is None:
        (lost,) = found.reams_lost
        return f"In another luck the same stop costs {counted(lost, 'ream')} {end} (no interval)."
    mean = interval.text()
    least, most = (rounded(each, 0) for each in (found.least, found.most))
    return (
        f"Over {interval.n} lucks, with whatever else falls into them, the same stop at the same"
        f" moment costs {mean} reams {end} (mean and {100 * interval.level:.0f} % interval;"
        f" each luck run with and without it), from {least} to {most} from luck to luck"
        f"{_LUCK if found.least < 0 else ''}."
    )


_LUCK = " (below 0: by luck there were more)"
