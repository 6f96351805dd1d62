"""How many runs are made, how long and by which random numbers: for forms and commands."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linesim.questions.study_options import StudyOptions, option

if TYPE_CHECKING:
    from linesim.studies.runner import Settings

MOST_HOURS = 200_000
MOST_RUNS = 100_000


class RunSettings(StudyOptions):
    """What every study is given beside its own options."""

    replications: int = option(20, "Runs", "Independent runs of each variant.", ge=2, le=MOST_RUNS)
    hours: float = option(
        168.0,
        "Hours",
        "Hours of the line in each run; a week has 168.",
        unit="h",
        metavar="H",
        ge=1,
        le=MOST_HOURS,
    )
    seed: int = option(
        1,
        "Seed",
        "The same seed gives the same figures, to the byte.",
        metavar="S",
        ge=0,
        le=2**63 - 1,
    )
    within_percent: float | None = option(
        None,
        "Good reams to within ±",
        "Add runs until the interval of good reams is this narrow, or the most runs are made.",
        unit="%",
        empty="not asked for",
        flag="--within",
        metavar="PERCENT",
        gt=0,
        le=50,
    )
    most: int = option(
        200,
        "Most runs",
        "Where runs are added: no more of each variant than this.",
        ge=2,
        le=MOST_RUNS,
    )
    long_run: bool = option(
        False,
        "Long run: as long as it takes",
        "How the line is in the long run: runs are made as long as it takes until their successive"
        " parts no longer differ, the hours asked for or longer (the answer says how long), and"
        " their start is left out. Without it each run starts as a real one does.",
    )

    def settings(self, **more: Any) -> Settings:
        """The settings of a runner; ``more`` are those of its fields that are not here."""
        from linesim.studies.runner import Settings

        return Settings(
            replications=self.replications,
            hours=self.hours,
            seed=self.seed,
            narrow=None if self.within_percent is None else self.within_percent / 100,
            most=self.most,
            **more,
        )
