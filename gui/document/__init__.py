"""The scenario that is being edited, without any window."""

from gui.document.document import Document
from gui.document.labels import STOP_LOG, field_label, help_words, with_titles
from gui.document.open_file_lock import OpenFileLock
from gui.document.plant_tables import COUNTS, LOGS, PlantTables
from gui.document.recovery import Autosave, Recoverable, recoverable
from gui.document.saving import Reason, SaveRefused

__all__ = [
    "COUNTS",
    "LOGS",
    "STOP_LOG",
    "Autosave",
    "Document",
    "OpenFileLock",
    "PlantTables",
    "Reason",
    "Recoverable",
    "SaveRefused",
    "field_label",
    "help_words",
    "recoverable",
    "with_titles",
]
