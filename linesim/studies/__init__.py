"""Many runs and one answer."""

from linesim.studies.figures import RunFigures, figures_of
from linesim.studies.replicate import LEVEL, Replicated, replicate

__all__ = ["LEVEL", "Replicated", "RunFigures", "figures_of", "replicate"]
