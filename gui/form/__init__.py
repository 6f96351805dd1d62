"""The scenario as a form that is made from its declared fields."""

from gui.form.form_view import FormView

__all__ = ["FormView"]
