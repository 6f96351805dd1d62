"""A study declared: its names, its options, and the function that answers it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from linesim.questions.study_options import StudyOptions

if TYPE_CHECKING:
    from linesim.report.answers import AnswerContent
    from linesim.studies.runner import Runner


@dataclass(frozen=True)
class Study:
    """What can be asked of a line by many runs.

    Its command, its page in the window, the headings of the report and the tables of the manual
    are made from this.
    """

    name: str
    """Of the command, and in study files."""
    position: int
    """Lists of studies are sorted by it."""
    title: str
    """What it is called everywhere: in the help, in the window's list of pages, above its page."""
    question: str
    """The question as a report puts it."""
    description: str
    example: str
    """What to type after the name of the command, to try it."""
    options: type[StudyOptions]
    answer: Callable[[Any, Runner, Any, bool], AnswerContent]
    """Makes the runs and puts into words what is found. It is given the scenario (where the study
    is of several: all by their names), a runner, the options, and whether the answer is a partial
    one, for which nothing need be tried that only a complete one tells."""
    group: str = "What pays"
    """With which others it stands in lists."""
    part: str = ""
    """The table of a scenario that it is about; empty: none more than the others."""
    several: bool = False
    """Whether it is asked of two or more scenarios."""
    replications: int = 20
    """Runs of each variant unless told otherwise."""
    by_pace: bool = False
    """Whether its answer holds for orders that are all made before the hours of a run end. What
    tells of reams a week does not: all that was asked for is made, whatever is changed."""
    no_long_run: str = ""
    """Why it cannot be asked of the long run; empty where it can."""
    gone: Mapping[str, str] = field(default_factory=dict)
    """Options of former versions, by flag and by name, and what to do instead."""

    def label_of(self, name: str) -> str:
        """What a form calls the option of that name; the name in words where it is none."""
        found = self.options.declared().get(name)
        return name.replace("_", " ") if found is None else found.title

    def flag_of(self, name: str) -> str:
        """How a command line spells the option of that name."""
        found = self.options.declared().get(name)
        if found is None:
            return "--" + name.replace("_", "-")
        return found.flag
