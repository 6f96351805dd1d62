"""Choosing one of the names that a scenario has for something, such as its stop causes."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from PySide6.QtWidgets import QComboBox, QWidget

from linesim.scenario import Scenario


class NameChoice(QComboBox):
    """The names there are, below what is meant where none is chosen."""

    def __init__(
        self,
        scenario: Callable[[], Scenario | None],
        names: Callable[[Scenario], Iterable[str]],
        empty: str,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._scenario, self._names, self._empty = scenario, names, empty
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.setMaxVisibleItems(20)
        self.refresh()

    def refresh(self) -> None:
        """Have the names that the scenario has now; what was chosen stays while it is there."""
        scenario = self._scenario()
        names = [] if scenario is None else list(self._names(scenario))
        if self.count() and names == [self.itemData(n) for n in range(1, self.count())]:
            return
        chosen = self.currentData()
        self.clear()
        self.addItem(self._empty, "")
        for name in names:
            self.addItem(name, name)
        self.setCurrentIndex(max(0, self.findData(chosen)))
