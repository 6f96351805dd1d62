"""The questions that can be asked, by name."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING, Any

from linesim.questions.options import (
    AddWrapperOptions,
    MeetTargetOptions,
    NoOptions,
    Options,
    PlanOrdersOptions,
    SizeBridgeOptions,
    ValidateOptions,
    VaryOptions,
    WhatHoldsOptions,
)

if TYPE_CHECKING:
    from linesim.questions.answering import Said
    from linesim.scenario import Scenario
    from linesim.studies.runner import Runner


@dataclass(frozen=True)
class QuestionKind:
    """A study: ``title`` is the question in words, ``answers`` what is said to it.

    ``several`` is True where it is asked of two or more scenarios. ``replications`` are the runs
    of each variant that it takes unless told otherwise.
    """

    name: str
    title: str
    answers: str
    options: type[Options]
    several: bool = False
    replications: int = 20
    no_long_run: str = ""
    """Why it cannot be asked of the long run; empty where it can."""

    @property
    def answer(
        self,
    ) -> Callable[[Mapping[str, Scenario], Runner, Any, bool], Said]:
        """The function that answers it; fetched when first needed."""
        module = import_module("linesim.questions.answering")
        found: Callable[[Mapping[str, Scenario], Runner, Any, bool], Said] = module.ANSWERS[
            self.name
        ]
        return found

    def label_of(self, option: str) -> str:
        """What a form calls an option that a command calls *option*."""
        fields = self.options.model_fields
        name = option.replace("-", "_")
        info = fields.get(name) or fields.get(f"{name}s")
        return (info.title or option) if info is not None else option


QUESTIONS: dict[str, QuestionKind] = {
    kind.name: kind
    for kind in (
        QuestionKind(
            "size-bridge",
            "How long a bridge pays",
            "Output, effectiveness and blocked hours against the places on the bridge, beside the"
            " two-station estimate; where one more place earns less than it costs; the best"
            " levels.",
            SizeBridgeOptions,
        ),
        QuestionKind(
            "add-wrapper",
            "Whether one more wrapper pays",
            "The line with and without it, all else by the same random numbers; what then holds the"
            " line, the money (demand,"
            " payback, present value), and cheaper things beside it.",
            AddWrapperOptions,
        ),
        QuestionKind(
            "meet-target",
            "The cheapest way to an output",
            "Which bridge, levels, reels changed together, crew and wrappers reach so many good"
            " reams a week for the least money; searched with the same random numbers, checked with"
            " fresh ones.",
            MeetTargetOptions,
        ),
        QuestionKind(
            "rank-stops",
            "What each stop cause really costs",
            "The reams gained at the end of the line when that cause alone is taken away, all else"
            " meeting the same random numbers; then what improving each station would give.",
            NoOptions,
        ),
        QuestionKind(
            "what-holds",
            "Which station holds the line",
            "Asked in four ways: by net rate, by what the others wait for, by the longest active"
            " periods, and by what a small improvement adds.",
            WhatHoldsOptions,
        ),
        QuestionKind(
            "vary",
            "What any field changes",
            "A curve of one field, or a map of two.",
            VaryOptions,
        ),
        QuestionKind(
            "compare",
            "Whole scenarios side by side",
            "With the same random numbers; the first one is what the others are held against.",
            NoOptions,
            several=True,
        ),
        QuestionKind(
            "plan-orders",
            "When each order is done",
            "When each order of the scenario is done in 1, 5 and 9 of 10 runs, how likely it is"
            " late, what another sequence would give, and what paper to have ready.",
            PlanOrdersOptions,
            # Of fewer than 36 runs the 10th and 90th percentile have an interval with one end.
            replications=40,
            no_long_run="orders begin with the run: its start cannot be left out",
        ),
        QuestionKind(
            "validate",
            "Whether to believe the model",
            "What the plant counted, shift by shift and day by day, beside what the line should"
            " have made; whether the model matches, and at which station it first does not.",
            ValidateOptions,
            no_long_run="a validation keeps to the calendar from the start of a run on",
        ),
    )
}


@dataclass(frozen=True)
class Question:
    """A study of ``QUESTIONS`` by name, with its options. Raises ``ValueError`` if they are not.

    >>> Question("what-holds").options.step_percent
    5.0
    >>> Question("what-holds", {"step_percent": 2}).options.step_percent
    2.0
    """

    study: str
    options: Any = None

    def __post_init__(self) -> None:
        if self.study not in QUESTIONS:
            raise ValueError(f"there is no study {self.study!r}; there are {', '.join(QUESTIONS)}")
        kind = self.kind
        if not isinstance(self.options, kind.options):
            given = {} if self.options is None else self.options
            object.__setattr__(self, "options", kind.options.model_validate(given))

    @property
    def kind(self) -> QuestionKind:
        """What the study is."""
        return QUESTIONS[self.study]
