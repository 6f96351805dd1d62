"""A study as it is asked: which one, with which options."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from linesim.questions.catalogue import STUDIES
from linesim.questions.study import Study
from linesim.questions.study_options import QuestionError


@dataclass(frozen=True)
class Question:
    """A study of ``STUDIES`` by name, with its options. Raises ``ValueError`` if they are not.

    >>> Question("what-holds").options.step_percent
    5.0
    >>> Question("what-holds", {"step_percent": 2}).options.step_percent
    2.0
    """

    study: str
    options: Any = None

    def __post_init__(self) -> None:
        if self.study not in STUDIES:
            raise ValueError(f"there is no study {self.study!r}; there are {', '.join(STUDIES)}")
        kind = self.declaration.options
        if not isinstance(self.options, kind):
            given = {} if self.options is None else self.options
            for name in self.declaration.gone.keys() & given:
                raise QuestionError(name, self.declaration.gone[name])
            object.__setattr__(self, "options", kind.model_validate(given))

    @property
    def declaration(self) -> Study:
        """What the study is."""
        return STUDIES[self.study]
