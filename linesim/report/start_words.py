"""The state in which the runs of a scenario start, in words."""

from __future__ import annotations

from linesim.scenario import Scenario
from linesim.scenario.reels_together import are_changed_together
from linesim.statistics import counted


def start_words(scenario: Scenario) -> str:
    """How each run starts, for whoever reads its figures."""
    start = scenario.start
    if start.state == "new":
        said = (
            "Each run starts with everything new: the meter of every stop cause at zero, rolls full"
            " and the bridge empty. A short run is then better than the long run."
        )
    elif scenario.order:
        said = (
            "Orders begin on an empty line, as it is found on any day: every stop cause part-way"
            " through its interval, rolls part used."
        )
    else:
        said = (
            "Each run starts as the line is found on any day: every stop cause part-way through its"
            " interval, reels and rolls part used, after a run-in of"
            f" {start.run_in_h:g} h that is not counted."
        )
    return said + _reels(scenario) + _ages(scenario)


def _reels(scenario: Scenario) -> str:
    reels = scenario.reels
    pattern = reels.at_start
    if pattern is None:
        if scenario.start.state == "as_found":
            if are_changed_together(scenario):
                return " Reels are part unwound alike, as they are changed together."
            return " Reels are part unwound." if scenario.order else ""
        pattern = "fresh"
    if pattern == "random":
        return " Each reel is part unwound."
    spread = reels.diameter_sd_mm
    how_long = (
        f"; their spread of {spread:g} mm takes many reels to pull them apart"
        if spread
        else "; without a spread of diameters they always do"
    )
    if pattern == "fresh":
        return f" All reels are fresh when counting begins, and run out together{how_long}."
    return " Reels are staggered evenly when counting begins."


def _ages(scenario: Scenario) -> str:
    aged = sum(stop.since_last is not None for stop in scenario.stop)
    return f" The scenario says when {counted(aged, 'stop cause')} last happened." if aged else ""
