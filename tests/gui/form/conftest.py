"""The form on screen, of the document that a module of tests begins with."""

import pytest
from pytestqt.qtbot import QtBot

from gui.document import Document
from gui.form import FormView


@pytest.fixture
def form(qtbot: QtBot, document: Document) -> FormView:
    view = FormView(document)
    qtbot.addWidget(view)
    view.resize(900, 700)
    view.show()
    qtbot.waitExposed(view)
    return view
