"""What a forced stop costs over many replications, in a sentence."""

from __future__ import annotations

from linesim.statistics import counted, rough, rounded
from linesim.studies.stop_over_replications import StopOverReplications


def over_replications_words(found: StopOverReplications) -> str:
    """Mean with its interval, and the range over single replications."""
    end = f"by the end of a run of {rough(found.hours)} h"
    interval = found.interval
    if interval is None:
        lost = counted(found.reams_lost[0], "ream")
        return f"In another replication the same stop costs {lost} {end} (no interval)."
    mean = interval.text()
    least, most = (rounded(each, 0) for each in (found.least, found.most))
    return (
        f"Over {interval.n} replications, each with its own other stops, the same stop at the same"
        f" moment costs {mean} reams {end} (mean and {100 * interval.level:.0f} % interval;"
        f" each replication run with and without it), in single replications {least} to {most}"
        f"{_BY_CHANCE if found.least < 0 else ''}."
    )


_BY_CHANCE = " (below 0: by chance there were more)"
