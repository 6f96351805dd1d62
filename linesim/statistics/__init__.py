"""How sure a simulated figure is: intervals, paired comparisons, warm-up, when to stop.

>>> from linesim import statistics
>>> statistics.student_interval([61.0, 61.9, 60.8, 61.5]).text()
'61.3 ± 0.8'
"""

from linesim.statistics.batches import Steadiness, steadiness
from linesim.statistics.choices import Choice, choose, share_of_plants
from linesim.statistics.counts import (
    Proportion,
    Trend,
    equal_rates,
    exact_proportion,
    exact_rate,
    laplace_trend,
)
from linesim.statistics.crossed import SQUARE, Crossing, interval_of, plants_weights
from linesim.statistics.formatting import (
    counted,
    format_with_interval,
    half_width_text,
    last_digit,
    rough,
    rounded,
)
from linesim.statistics.intervals import Bounds, Interval, student_interval
from linesim.statistics.pairing import PairedInterval, paired_interval
from linesim.statistics.quantiles import (
    Quantile,
    prediction_band,
    quantile_of,
    quantile_ranks,
    runs_for_both_ends,
)
from linesim.statistics.sample_size import runs_needed_for_half_width, runs_needed_to_show
from linesim.statistics.stopping import more_runs_needed, narrow_enough
from linesim.statistics.variance_shares import MainEffects, main_effects
from linesim.statistics.warm_up import WarmUp, mser5

__all__ = [
    "SQUARE",
    "Bounds",
    "Choice",
    "Crossing",
    "Interval",
    "MainEffects",
    "PairedInterval",
    "Proportion",
    "Quantile",
    "Steadiness",
    "Trend",
    "WarmUp",
    "choose",
    "counted",
    "equal_rates",
    "exact_proportion",
    "exact_rate",
    "format_with_interval",
    "half_width_text",
    "interval_of",
    "laplace_trend",
    "last_digit",
    "main_effects",
    "more_runs_needed",
    "mser5",
    "narrow_enough",
    "paired_interval",
    "plants_weights",
    "prediction_band",
    "quantile_of",
    "quantile_ranks",
    "rough",
    "rounded",
    "runs_for_both_ends",
    "runs_needed_for_half_width",
    "runs_needed_to_show",
    "share_of_plants",
    "steadiness",
    "student_interval",
]
