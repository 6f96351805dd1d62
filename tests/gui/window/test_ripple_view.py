"""The ripple of a stop as a table that can be taken away."""

from __future__ import annotations

from pathlib import Path

import pytest
from PySide6.QtGui import QGuiApplication
from pytestqt.qtbot import QtBot

import linesim
from gui import dialogs
from gui.shift import ShownShift
from gui.window.ripple_view import RippleView


def test_the_table_is_copied_and_saved(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    line = linesim.scenario.load(linesim.scenario.find_scenario("short-bridge"))
    stop = linesim.ForcedStop(station="wrapper", at_h=0.05, minutes=6, cause="trial")
    record = linesim.fast.simulate(line, hours=0.2, forced=[stop])
    shown = ShownShift()
    shown.show(record)
    view = RippleView(shown)
    qtbot.addWidget(view)
    cause = record.causes.index("trial")
    event = next(e for e in linesim.record.stop_events(record) if e.cause == cause)
    ripple = linesim.record.ripple(record, event)
    view.show_ripple(ripple)
    rows = [[view.table.item(i, j).text() for j in (0, 1)] for i in range(view.table.rowCount())]
    assert rows[0] == ["wrapper", "stood"]
    assert ["transfer", "blocked"] in rows
    assert [view.table.item(0, j).text() for j in (2, 3)] == ["at once", "6\u00a0min"]
    # Six minutes at the rated speed of the wrapper.
    reams = 6 * line.wrapper[0].rate_reams_per_min
    assert float(view.table.item(0, 4).text().replace(",", "")) == pytest.approx(reams, rel=0.01)
    view.copy()
    pasted = QGuiApplication.clipboard().text()
    assert pasted.splitlines()[1].startswith("wrapper\tstood\t0.0\t360.0")
    path = tmp_path / "ripple.csv"
    monkeypatch.setattr(dialogs, "ask_file", lambda *_: path)
    view._ask_csv()
    assert path.read_text(encoding="utf-8").splitlines()[1].startswith("wrapper,stood,0.0,360.0")
    view.save_csv(tmp_path / "nowhere" / "x.csv")
    assert "could not be written" in view.status.text()
