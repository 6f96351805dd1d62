"""What a worker process and the window say to each other over a pipe."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Protocol


@dataclass(frozen=True)
class TaskRequest:
    """Work to be done: the name of a function in ``gui.work.tasks`` and its arguments."""

    number: int
    name: str
    arguments: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class CancelRequest:
    """The window no longer wants this task."""

    number: int


@dataclass(frozen=True)
class TaskProgress:
    """How far a task is: ``part`` from 0 to 1, or None where it cannot tell."""

    number: int
    part: float | None
    words: str


@dataclass(frozen=True)
class PartialResult:
    """What is known so far."""

    number: int
    value: Any


@dataclass(frozen=True)
class TaskResult:
    """The result; ``value`` of a task that was stopped is what it had, or None."""

    number: int
    value: Any
    cancelled: bool = False


@dataclass(frozen=True)
class TaskFailure:
    """It could not be done: why in words, and the details for those who want them."""

    number: int
    words: str
    details: str


class TaskCancelledError(Exception):
    """Raised inside a task that the window no longer wants."""


class TaskContext(Protocol):
    """What a task can say while it works."""

    def progress(self, part: float | None, words: str = "") -> None:
        """Say how far it is."""

    def partial(self, value: Any) -> None:
        """Give what is known so far."""

    def cancelled(self) -> bool:
        """Whether the window no longer wants the task."""
