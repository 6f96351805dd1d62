"""What was copied does not end the program with a fault when it ends."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

_COPIES = """
import sys
from PySide6.QtCore import QMimeData
from PySide6.QtGui import QColor, QGuiApplication, QImage
from PySide6.QtWidgets import QApplication
from gui.charts.clipboard import leave_simple, put

app = QApplication(sys.argv[:1])
data = QMimeData()
if sys.argv[1] == "picture":
    image = QImage(3, 2, QImage.Format.Format_RGB32)
    image.fill(QColor("red"))
    data.setImageData(image)
    data.setData("image/svg+xml", b"<svg/>")
else:
    data.setText("a\\tb")
    data.setData("text/csv", b"a,b")
put(data)
held = QGuiApplication.clipboard()
assert held.mimeData().hasFormat("image/svg+xml") or held.mimeData().hasFormat("text/csv")
leave_simple()
assert held.mimeData().formats()
print(held.text(), held.image().width(), held.image().height())
held.setText("of another")
leave_simple()
assert held.text() == "of another"
again = QMimeData()
again.setText("once more")
put(again)
"""


@pytest.mark.parametrize(
    ("what", "left"), [("picture", ["3", "2"]), ("table", ["a", "b", "0", "0"])]
)
def test_a_program_that_copied_ends_well(what: str, left: list[str]) -> None:
    ended = subprocess.run(
        [sys.executable, "-X", "faulthandler", "-c", _COPIES, what],
        cwd=Path(__file__).resolve().parents[3],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (ended.returncode, ended.stdout.split()) == (0, left), ended.stderr
