"""The scenario that is being edited, without any window."""

from gui.document.document import Document
from gui.document.presence import Presence
from gui.document.recovery import Autosave, Recoverable, recoverable
from gui.document.saving import Reason, SaveRefused
from gui.document.wording import entry_words, field_words

__all__ = [
    "Autosave",
    "Document",
    "Presence",
    "Reason",
    "Recoverable",
    "SaveRefused",
    "entry_words",
    "field_words",
    "recoverable",
]
