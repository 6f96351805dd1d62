"""What is told stands there in short, and whole for who asks."""

from __future__ import annotations

from pytestqt.qtbot import QtBot

from gui.window.told_label import ToldLabel

_SHORT = "It cost 398 reams."
_WHOLE = _SHORT + " The outfeed was starved later, and so was everything else." * 30


def test_the_whole_is_a_link_away_and_needs_no_bar_of_its_own(qtbot: QtBot) -> None:
    told = ToldLabel("what the stop did", "cost")
    qtbot.addWidget(told)
    told.resize(500, 100)
    told.show()
    told.tell(_WHOLE, _SHORT)
    assert told.text == _WHOLE
    assert "starved" not in told.label.text()
    told.label.linkActivated.emit("all")
    assert _WHOLE[-60:] in told.label.text()
    assert told.height() >= told.label.heightForWidth(told.width())
    told.label.linkActivated.emit("all")
    assert "starved" not in told.label.text()
    with qtbot.waitSignal(told.followed):
        told.label.linkActivated.emit("further")


def test_what_is_told_is_no_markup(qtbot: QtBot) -> None:
    told = ToldLabel("the line")
    qtbot.addWidget(told)
    told.tell("The line <b>", "The line <b>")
    assert told.label.text() == "The line &lt;b&gt;"


def test_no_line_breaks_between_a_figure_and_its_interval(qtbot: QtBot) -> None:
    told = ToldLabel("the line")
    qtbot.addWidget(told)
    told.tell("It makes 76.71 ± 1.55 % of it.", "It makes 76.71 ± 1.55 % of it.")
    assert told.label.text() == "It makes 76.7\u00a0±\u00a01.6\u00a0% of it."
