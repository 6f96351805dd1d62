"""Who makes the runs of a study: this computer, or workers of a Dask scheduler."""

from __future__ import annotations

from PySide6.QtWidgets import QComboBox, QWidget

import linesim
from gui.look import plain_tip

_HERE = "this computer"
_WORKERS_HERE = "workers of its own, on this computer"
_WIDEST = 30


class MadeBy(QComboBox):
    """A choice, or the address of a scheduler written into it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.addItems([_HERE, _WORKERS_HERE])
        self.setEditable(True)
        self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        line = self.lineEdit()
        assert line is not None
        line.setAcceptDrops(False)  # Files are the window's to open.
        self.setMinimumContentsLength(_WIDEST)
        self.setToolTip(
            plain_tip(
                "Who makes the runs. For a Dask scheduler write its address, such as"
                " tcp://10.0.0.5:8786, or the path of its file, which ends in .json. What it sends"
                " back can run code here: name only one that you trust."
            )
        )

    @property
    def cluster(self) -> str | None:
        """As the settings of a study have it."""
        words = self.currentText().strip()
        if words in ("", _HERE):
            return None
        return linesim.studies.LOCAL if words == _WORKERS_HERE else words
