"""Which part of the window has its turn when Tab is pressed: as one reads.

Qt's own chain follows the order in which widgets were made. Pages are made when they are first
shown, long after the form, and would come last. Here the parts have a fixed order; within a part
it is row by row, from left to right.

Qt's chain is not asked from Python: the binding would take each widget for the owner of the next
(`tests/trust/owners.py`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from PySide6.QtCore import QRect, Qt
from PySide6.QtWidgets import (
    QAbstractScrollArea,
    QAbstractSpinBox,
    QComboBox,
    QMainWindow,
    QTabWidget,
    QWidget,
)

_DIRECT = Qt.FindChildOption.FindDirectChildrenOnly
_WHOLE = (QAbstractSpinBox, QComboBox)
"""Widgets with a line inside that takes the keyboard for them."""


class OrderedWindow(QMainWindow):
    """A window whose parts take the focus in the order of ``tab_parts``."""

    def __init__(self) -> None:
        super().__init__()
        self.tab_parts: list[QWidget] = []
        self.home_part: QWidget | None = None
        """Where the focus goes when nothing has it."""

    def focusNextPrevChild(self, next: bool) -> bool:
        """Tab and Shift+Tab; Qt asks, too, where what has the focus is hidden or disabled."""
        return move_focus(self, self.tab_parts, forward=next, home=self.home_part)

    def go_to_part(self, *, forward: bool) -> None:
        """Give the focus to the next part of the window, or the one before."""
        go_to_part(self, self.tab_parts, forward=forward)


def tab_stops(parts: Sequence[QWidget]) -> list[list[QWidget]]:
    """The widgets that Tab stops at, part by part."""
    return [[each for each in _with_inner(part) if _is_stop(each)] for part in parts]


def move_focus(
    window: QWidget, parts: Sequence[QWidget], *, forward: bool, home: QWidget | None = None
) -> bool:
    """Give the focus to the next stop, or the one before; False where there is none.

    Where what has the focus is no stop (any more) it stays in the same part, as near as can be;
    where nothing has it, it begins at the first stop of the part ``home``.
    """
    order = [each for part in tab_stops(parts) for each in part]
    if not order:
        return False
    focus = window.focusWidget()
    now = _stop_of(focus, order)
    step = 1 if forward else -1
    if now is not None:
        there = order[(order.index(now) + step) % len(order)]
    elif focus is not None:
        there = _beside(focus, parts, step) or order[0]
    else:
        at_home = [each for each in order if home is not None and home.isAncestorOf(each)]
        there = (at_home or order)[0 if forward else -1]
    reason = Qt.FocusReason.TabFocusReason if forward else Qt.FocusReason.BacktabFocusReason
    there.setFocus(reason)
    return True


def _beside(focus: QWidget, parts: Sequence[QWidget], step: int) -> QWidget | None:
    """The stop nearest to what is none: in the same part, the next one sooner than the last."""
    around = [
        (part, each)
        for part in parts
        for each in _with_inner(part, focus)
        if each is focus or _is_stop(each)
    ]
    at = next((n for n, (_, each) in enumerate(around) if each is focus), None)
    if at is None:
        return None
    ahead, behind = around[at + 1 :], around[:at][::-1]
    first, then = (ahead, behind) if step > 0 else (behind, ahead)
    near = [each for part, each in (*first, *then) if part is around[at][0]]
    far = [each for _, each in (*first, *reversed(then))]
    return (near or far)[0]


def go_to_part(window: QWidget, parts: Sequence[QWidget], *, forward: bool) -> bool:
    """Give the focus to the first stop of the next part that has one."""
    turns = [part for part in tab_stops(parts) if part]
    if not turns:
        return False
    focus = window.focusWidget()
    here = next((n for n, part in enumerate(turns) if _stop_of(focus, part) is not None), None)
    if here is None:
        here = -1 if forward else 0
    there = turns[(here + (1 if forward else -1)) % len(turns)]
    there[0].setFocus(Qt.FocusReason.ShortcutFocusReason)
    return True


def _with_inner(widget: QWidget, hidden: QWidget | None = None) -> Iterator[QWidget]:
    """A widget and all that is seen in it, as one reads; and one that need not be seen."""
    if not _counts(widget, hidden):
        return
    yield widget
    if isinstance(widget, _WHOLE):
        return
    inner = widget.findChildren(QWidget, options=_DIRECT)
    # What is hidden stands wherever it stood last, or nowhere.
    for each in _as_read(each for each in inner if _counts(each, hidden)):
        if not each.isWindow():
            yield from _with_inner(each, hidden)


def _counts(widget: QWidget, hidden: QWidget | None) -> bool:
    """Whether a widget is seen, or is or holds the one that need not be."""
    holds_hidden = hidden is not None and (widget is hidden or widget.isAncestorOf(hidden))
    return widget.isVisible() or holds_hidden


def _as_read(widgets: Iterable[QWidget]) -> Iterator[QWidget]:
    """Row by row, in a row from left to right, whenever they were made."""
    row: list[QWidget] = []
    for each in sorted(widgets, key=QWidget.y):
        if row and not beside(row[0].geometry(), each.geometry()):
            yield from sorted(row, key=QWidget.x)
            row = []
        row.append(each)
    yield from sorted(row, key=QWidget.x)


def beside(one: QRect, other: QRect) -> bool:
    """Whether they stand in one row: the lower of them shares half its height with the other."""
    shared = min(one.bottom(), other.bottom()) - max(one.top(), other.top())
    return 2 * shared > min(one.height(), other.height())


def _takes_tab(widget: QWidget) -> bool:
    # The bar of a tab widget stands for it.
    takes = widget.focusPolicy() & Qt.FocusPolicy.TabFocus == Qt.FocusPolicy.TabFocus
    return takes and not isinstance(widget, QTabWidget)


def _is_stop(widget: QWidget) -> bool:
    if not _takes_tab(widget) or not widget.isVisible() or not widget.isEnabled():
        return False
    # A page that scrolls is a stop only where its keys do something.
    if isinstance(widget, QAbstractScrollArea):
        inside = _with_inner(widget.viewport())
        return not any(_takes_tab(each) for each in inside)
    return True


def _stop_of(widget: QWidget | None, order: list[QWidget]) -> QWidget | None:
    """The stop that has the focus, itself or through a part of it."""
    while widget is not None:
        if widget in order:
            return widget
        widget = widget.parentWidget()
    return None
