"""Undo and redo over the whole text: each edit is the text before it and after it."""

from __future__ import annotations

from dataclasses import dataclass, replace

MERGED_WITHIN_S = 1.0
_MOST_KEPT = 1000


@dataclass(frozen=True)
class Edit:
    """One step back. ``label`` says what it did, ``field`` where (empty: anywhere)."""

    before: str
    after: str
    label: str
    field: str
    at_s: float


class Edits:
    """The steps that were made and those that were taken back.

    Edits of one field that follow each other within a second are one step, so that typing 120
    is not three steps; :meth:`end_step` ends the step that is under way.
    """

    def __init__(self) -> None:
        self._done: list[Edit] = []
        self._undone: list[Edit] = []
        self._open = False

    def add(self, edit: Edit) -> None:
        """A step was made: what was taken back before it is gone."""
        last = self._done[-1] if self._done else None
        self._undone.clear()
        if (
            last is not None
            and self._open
            and last.field == edit.field
            and last.label == edit.label
            and 0 <= edit.at_s - last.at_s <= MERGED_WITHIN_S
        ):
            self._done.pop()
            edit = replace(edit, before=last.before)
            if edit.before == edit.after:
                return
        self._done.append(edit)
        del self._done[:-_MOST_KEPT]
        self._open = True

    def end_step(self) -> None:
        """The next edit is a step of its own."""
        self._open = False

    def back(self) -> Edit | None:
        """Take the last step back; None where there is none."""
        if not self._done:
            return None
        self._undone.append(self._done.pop())
        self._open = False
        return self._undone[-1]

    def again(self) -> Edit | None:
        """Make the step again that was taken back last; None where there is none."""
        if not self._undone:
            return None
        self._done.append(self._undone.pop())
        self._open = False
        return self._done[-1]

    def clear(self) -> None:
        """Forget every step."""
        self._done.clear()
        self._undone.clear()
        self._open = False

    @property
    def last_done(self) -> Edit | None:
        """The step that undo would take back."""
        return self._done[-1] if self._done else None

    @property
    def last_undone(self) -> Edit | None:
        """The step that redo would make again."""
        return self._undone[-1] if self._undone else None
