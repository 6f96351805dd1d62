"""The pictures of fitted causes as files."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path

from linesim.files import write_text
from linesim.plant.fitting import CauseFit, with_trend
from linesim.plant.log_columns import plain
from linesim.report.answers.stop_fit_charts import fit_charts
from linesim.report.page.study_charts import chart_drawing
from linesim.report.page.svg import svg_file

_LONGEST = 60


def write_fit_pictures(folder: Path, fits: Sequence[CauseFit]) -> tuple[Path, ...]:
    """Write each picture of each cause into *folder*, made if need be, as SVG.

    Raises ``OSError`` where that is not possible.
    """
    folder.mkdir(parents=True, exist_ok=True)
    changing = with_trend(fits)
    written: dict[Path, None] = {}
    for number, fit in enumerate(fits):
        for chart in fit_charts(fit, changes=fit in changing):
            stem = re.sub(r"[^a-z0-9]+", "-", plain(fit.matched.cause)).strip("-")[:_LONGEST]
            path = folder / f"{stem or number}-{chart.name}.svg"
            if path in written:
                path = folder / f"{stem}-{number}-{chart.name}.svg"
            write_text(path, svg_file(chart_drawing(chart)))
            written[path] = None
    return tuple(written)
