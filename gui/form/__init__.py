"""The scenario as a form that is made from its declared fields."""

from gui.form.controls import REDO
from gui.form.entries_page import EntryList
from gui.form.form_view import FormView

__all__ = ["REDO", "EntryList", "FormView"]
