"""The studies there are: each module of this folder declares one, as ``STUDY``."""

from importlib import import_module
from pkgutil import iter_modules

from linesim.questions.study import Study

_DECLARED: list[Study] = [
    import_module(f"{__name__}.{module.name}").STUDY for module in iter_modules(__path__)
]
STUDIES: dict[str, Study] = {
    study.name: study for study in sorted(_DECLARED, key=lambda study: study.position)
}
"""By name, in the order in which the window lists them."""
