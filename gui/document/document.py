"""The scenario that is being edited: its text, what that text means, and the way back.

The text is the truth. A field that is set changes the text and nothing but that field in it, so
comments, order and line ends stay as their writer left them.

>>> document = Document()
>>> document.set_field("bridge.places", 60)
True
>>> document.scenario.bridge.places, document.undo_words
(60, 'bridge: places')
>>> document.undo()
>>> document.value("bridge.places") is None
True
"""

from __future__ import annotations

import contextlib
import os
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from psygnal import Signal

import linesim
from gui.document.edits import Edit, Edits
from gui.document.labels import field_label
from gui.document.line_endings import normalized, with_endings_of
from gui.document.plant_tables import PlantTables
from gui.document.saving import Reason, SaveRefused, as_bytes, holds_other, is_demo, write_whole
from gui.document.values import Values

if TYPE_CHECKING:
    from linesim import Scenario
    from linesim.scenario import Fault

EMPTY = "format = 1\n"


class Document:
    """A scenario file while it is edited.

    ``clock`` gives seconds; edits of one field that follow each other within a second are one
    step of undo.
    """

    changed = Signal()
    """The text is another one, and with it perhaps the scenario."""
    faults_changed = Signal()
    path_changed = Signal()
    """Another file was opened, or this one got another name."""
    dirty_changed = Signal(bool)
    saved = Signal()
    stepped = Signal(str)
    """A step was taken back or made again: the field it was about, empty for the whole text."""

    def __init__(self, *, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._edits = Edits()
        self._path: Path | None = None
        self._name = "untitled"
        self._text = self._on_disk = EMPTY
        self._scenario: Scenario | None = None
        self._faults: tuple[Fault, ...] = ()
        self._values = Values()
        self._readable = True
        self._was_dirty = False
        self.plant_tables = PlantTables()
        self.path_changed.connect(self._turn_tables)
        self._start(EMPTY, EMPTY)

    @property
    def path(self) -> Path | None:
        """The file, None where there is none yet."""
        return self._path

    @property
    def name(self) -> str:
        """What a title calls it."""
        return self._name

    @property
    def is_demo(self) -> bool:
        """Whether the file came with the program; it can then only be saved elsewhere."""
        return self._path is not None and is_demo(self._path)

    @property
    def text(self) -> str:
        """The text as it would be saved."""
        return self._text

    @property
    def text_on_disk(self) -> str:
        """The text as it was read from the file or saved to it last."""
        return self._on_disk

    @property
    def scenario(self) -> Scenario | None:
        """The last text of this file without a fault; None where there was none."""
        return self._scenario

    @property
    def faults(self) -> tuple[Fault, ...]:
        """Everything that is wrong with the text now."""
        return self._faults

    @property
    def is_readable(self) -> bool:
        """Whether the text is TOML at all; only then can a single field be set."""
        return self._readable

    @property
    def dirty(self) -> bool:
        """Whether the text is not what stands in the file."""
        return self._text != self._on_disk

    @property
    def data(self) -> Mapping[str, Any]:
        """The values as the text gives them, unchecked; the last ones that could be read."""
        return self._values.now

    def open(self, path_or_demo: str | os.PathLike[str]) -> None:
        """Open a file or a demo by its name, faults and all.

        Raises ``ScenarioFaults`` where there is no text to be had; nothing changes then.
        """
        path = linesim.scenario.find_scenario(path_or_demo)
        text = linesim.scenario.read_text(path)
        self._path, self._name = Path(os.path.abspath(path)), path.stem
        self._start(text, text)

    def new(self, text: str = EMPTY, name: str = "untitled") -> None:
        """Begin with a text that has no file yet."""
        self._path, self._name = None, name
        self._start(text, text)

    def restore(self, text: str, path: Path | None, name: str, based_on: str = EMPTY) -> None:
        """Take up unsaved work again. What it was *based_on* may no longer stand in the file."""
        self._path, self._name = path, name
        self._start(text, based_on)

    def value(self, field: str) -> Any:
        """What the text says at a dotted name; None where it says nothing."""
        return self._values.in_text(field)

    def default(self, field: str) -> Any:
        """What the field means where the text says nothing; None where nothing is meant."""
        return linesim.scenario.default_at(linesim.scenario.split_name(field), self.data)

    def file_value(self, field: str) -> Any:
        """What the saved file says at a dotted name, followed through lists that changed."""
        return self._values.in_file(field)

    def doubts(self, field: str) -> dict[str, Mapping[str, Any]]:
        """How sure the text says a field is, by the figure; as ``doubts_about`` of scenarios."""
        return linesim.scenario.doubts_about(self.data, field)

    def set_doubt(self, figure: str, doubt: Mapping[str, Any] | None) -> bool:
        """Say how sure a figure (``stop[0].restore_min.sd``) is, in a step of undo of its own.

        None says that it is known. As :meth:`set_field`.
        """
        changes = linesim.scenario.doubt_changes(self.data, {figure: doubt})
        between = linesim.scenario.doubt_fields()["between"].label
        label = f"{field_label(figure, self.data)}, {between}"
        self.end_step()
        done = self.set_fields(changes, label, figure)
        self.end_step()
        return done

    def differs(self, field: str) -> bool:
        """Whether the text says something else at a dotted name than the saved file.

        What it says of how sure a field is belongs to the field.
        """
        now, then = self.value(field), self.file_value(field)
        if now != then or isinstance(now, bool) != isinstance(then, bool):
            return True
        return self.doubts(field) != self._values.doubts_in_file(field)

    def put_back(self, fields: Sequence[str], label: str) -> bool:
        """Put back what the saved file says of fields, in a step of undo of its own."""
        doubts: dict[str, Mapping[str, Any] | None] = {}
        for field in fields:
            then = self._values.doubts_in_file(field)
            for part in {**self.doubts(field), **then}:
                doubts[f"{field}.{part}" if part else field] = then.get(part)
        changes = {field: self.file_value(field) for field in fields}
        self.end_step()
        changes |= linesim.scenario.doubt_changes(self.data, doubts)
        done = self.set_fields(changes, label, fields[0])
        self.end_step()
        return done

    def set_field(self, field: str, value: Any, label: str = "") -> bool:
        """Set one field, table or entry; None takes it out of the text.

        False where the text cannot take it: it is no TOML just now, or holds a plain value where
        the name wants a table. It must be put right as text first.
        """
        return self.set_fields({field: value}, label or field_label(field, self.data), field)

    def set_fields(self, values: Mapping[str, Any], label: str, field: str = "") -> bool:
        """Set several fields in one step of undo; as :meth:`set_field`."""
        try:
            text = linesim.scenario.update(normalized(self._text), values)
        except (linesim.scenario.ScenarioFaults, KeyError):
            return False
        self._edit(with_endings_of(self._text, text), label, field)
        return True

    def move_entry(self, table: str, index: int, to: int, label: str) -> bool:
        """Move an entry of a list of tables, with its comments; as :meth:`set_field`."""
        try:
            text = linesim.scenario.move_entry(normalized(self._text), table, index, to)
        except (linesim.scenario.ScenarioFaults, KeyError):
            return False
        self.end_step()
        self._edit(with_endings_of(self._text, text), label, f"{table}[{to}]")
        self.end_step()
        return True

    def set_text(self, text: str, label: str = "text") -> None:
        """Replace the whole text. Line ends and byte order mark are kept as the file has them."""
        self._edit(with_endings_of(self._text, normalized(text)), label, "")

    def end_step(self) -> None:
        """The next edit is a step of undo of its own, however soon it comes."""
        self._edits.end_step()

    @property
    def can_undo(self) -> bool:
        """Whether there is a step to take back."""
        return self._edits.last_done is not None

    @property
    def can_redo(self) -> bool:
        """Whether there is a step to make again."""
        return self._edits.last_undone is not None

    @property
    def undo_words(self) -> str:
        """What undo would take back; empty where there is nothing."""
        return edit.label if (edit := self._edits.last_done) else ""

    @property
    def redo_words(self) -> str:
        """What redo would make again; empty where there is nothing."""
        return edit.label if (edit := self._edits.last_undone) else ""

    def undo(self) -> None:
        """Take the last step back."""
        if edit := self._edits.back():
            self._take(edit.before)
            self.stepped.emit(edit.field)

    def redo(self) -> None:
        """Make the step again that was taken back last."""
        if edit := self._edits.again():
            self._take(edit.after)
            self.stepped.emit(edit.field)

    def save(self, path: str | os.PathLike[str] | None = None, *, overwrite: bool = False) -> None:
        """Write the text to its file, or to another that becomes its file.

        Raises :class:`SaveRefused`; *overwrite* says that the user agreed to lose what stands
        at the other path, or what somebody else wrote into this file meanwhile.
        """
        target = Path(os.path.abspath(path)) if path is not None else self._path
        if target is None:
            raise SaveRefused(Reason.NEEDS_NAME, "This scenario has no file yet.")
        if is_demo(target):
            words = "The demos stay as they came. Save your own copy under another name."
            raise SaveRefused(Reason.DEMO, words)
        if not overwrite and target != self._path and os.path.lexists(target):
            raise SaveRefused(Reason.EXISTS, f"{target} is there already.")
        if not overwrite and target == self._path and self.changed_on_disk():
            words = f"{target} was changed by another program since it was read."
            raise SaveRefused(Reason.CHANGED_ON_DISK, words)
        write_whole(target, as_bytes(self._text))
        moved = target != self._path
        self._path, self._name = target, target.stem
        self._on_disk = self._text
        if self._readable:
            self._values.file = self._values.now
        self._edits.end_step()
        if moved:
            self.path_changed.emit()
        self._tell_dirty()
        self.saved.emit()

    def changed_on_disk(self) -> bool:
        """Whether the file no longer holds what was read from it or saved to it."""
        return self._path is not None and holds_other(self._path, self._on_disk)

    def _start(self, text: str, on_disk: str) -> None:
        self._edits.clear()
        self._text, self._on_disk = text, on_disk
        self._scenario = None
        self._values = Values()
        with contextlib.suppress(linesim.scenario.ScenarioFaults):
            self._values.file, _ = linesim.scenario.parse(on_disk, self._name)
        self.path_changed.emit()
        self._take(text, tell=True)

    def _turn_tables(self) -> None:
        self.plant_tables.turn_to(self._path)

    def _edit(self, text: str, label: str, field: str) -> None:
        if text != self._text:
            self._edits.add(Edit(self._text, text, label, field, self._clock()))
            self._take(text)

    def _take(self, text: str, *, tell: bool = False) -> None:
        """Make *text* the text; listeners hear of it when all of it holds."""
        old_faults, self._text, self._faults = self._faults, text, ()
        file = self._path.name if self._path is not None else self._name
        self._readable = True
        try:
            self._values.now, lines = linesim.scenario.parse(text, file)
        except linesim.scenario.ScenarioFaults as found:
            self._faults, self._readable = tuple(found.faults), False
        else:
            try:
                self._scenario = linesim.scenario.check_mapping(self.data, file=file, lines=lines)
            except linesim.scenario.ScenarioFaults as found:
                self._faults = tuple(found.faults)
        self.changed.emit()
        if tell or old_faults != self._faults:
            self.faults_changed.emit()
        self._tell_dirty()

    def _tell_dirty(self) -> None:
        if self.dirty != self._was_dirty:
            self._was_dirty = self.dirty
            self.dirty_changed.emit(self.dirty)
