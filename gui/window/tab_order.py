"""Which part of the window has its turn when Tab is pressed: as one reads.

Qt's own chain follows the order in which widgets were made. Pages are made when they are first
shown, long after the form, and would come last. Here the parts have a fixed order; within a part
the chain is as its own folder made it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractScrollArea, QMainWindow, QWidget


class OrderedWindow(QMainWindow):
    """A window whose parts take the focus in the order of ``tab_parts``."""

    def __init__(self) -> None:
        super().__init__()
        self.tab_parts: list[QWidget] = []
        self.home_part: QWidget | None = None
        """Where the focus goes when nothing has it."""

    def focusNextPrevChild(self, next: bool) -> bool:
        """Tab and Shift+Tab; Qt asks, too, where what has the focus is hidden or disabled."""
        return go_on(self, self.tab_parts, forward=next, home=self.home_part)

    def go_to_part(self, *, forward: bool) -> None:
        """Give the focus to the next part of the window, or the one before."""
        go_to_part(self, self.tab_parts, forward=forward)


def stops(window: QWidget, parts: Sequence[QWidget]) -> list[QWidget]:
    """The widgets that Tab stops at, part by part; what is in no part comes last."""
    return _by_part((widget for widget in _chain(window) if _is_stop(widget)), parts)


def go_on(
    window: QWidget, parts: Sequence[QWidget], *, forward: bool, home: QWidget | None = None
) -> bool:
    """Give the focus to the next stop, or the one before; False where there is none.

    Where what has the focus is no stop (any more) it stays in the same part, as near as can be;
    where nothing has it, it begins at the first stop of the part ``home``.
    """
    order = stops(window, parts)
    if not order:
        return False
    focus = window.focusWidget()
    now = _stop_of(focus, order)
    step = 1 if forward else -1
    if now is not None:
        there = order[(order.index(now) + step) % len(order)]
    elif focus is not None:
        there = _beside(focus, window, parts, order, step)
    else:
        at_home = [each for each in order if home is not None and home.isAncestorOf(each)]
        there = (at_home or order)[0 if forward else -1]
    reason = Qt.FocusReason.TabFocusReason if forward else Qt.FocusReason.BacktabFocusReason
    there.setFocus(reason)
    return True


def _beside(
    focus: QWidget, window: QWidget, parts: Sequence[QWidget], order: list[QWidget], step: int
) -> QWidget:
    """The stop nearest to what is none: in the same part, the next one sooner than the last."""
    around = _by_part((each for each in _chain(window) if each is focus or each in order), parts)
    if focus not in around:
        return order[0]
    at, part = around.index(focus), _part_of(focus, parts)
    ahead, behind = around[at + 1 :], around[:at][::-1]
    first, then = (ahead, behind) if step > 0 else (behind, ahead)
    near = [each for each in (*first, *then) if _part_of(each, parts) == part]
    return (near or [*first, *reversed(then)])[0]


def _by_part(widgets: Iterable[QWidget], parts: Sequence[QWidget]) -> list[QWidget]:
    found: list[list[QWidget]] = [[] for _ in range(len(parts) + 1)]
    for widget in widgets:
        found[_part_of(widget, parts)].append(widget)
    return [widget for part in found for widget in part]


def go_to_part(window: QWidget, parts: Sequence[QWidget], *, forward: bool) -> bool:
    """Give the focus to the first stop of the next part that has one."""
    order = stops(window, parts)
    first: dict[int, QWidget] = {}
    for widget in order:
        first.setdefault(_part_of(widget, parts), widget)
    if not first:
        return False
    turns = sorted(first)
    now = _stop_of(window.focusWidget(), order)
    here = turns.index(_part_of(now, parts)) if now is not None else -1 if forward else 0
    there = turns[(here + (1 if forward else -1)) % len(turns)]
    first[there].setFocus(Qt.FocusReason.ShortcutFocusReason)
    return True


def _chain(window: QWidget) -> Iterator[QWidget]:
    widget = window.nextInFocusChain()
    while widget is not None and widget is not window:
        yield widget
        widget = widget.nextInFocusChain()


def _is_stop(widget: QWidget) -> bool:
    takes = widget.focusPolicy() & Qt.FocusPolicy.TabFocus == Qt.FocusPolicy.TabFocus
    stands_for_other = widget.focusProxy() is not None
    if not takes or stands_for_other or not widget.isVisible() or not widget.isEnabled():
        return False
    # A page that scrolls is a stop only where its keys do something.
    if isinstance(widget, QAbstractScrollArea) and widget.findChildren(QWidget):
        return _holds_no_stop(widget)
    return True


def _holds_no_stop(area: QAbstractScrollArea) -> bool:
    inner = area.viewport().findChildren(QWidget)
    return not any(
        each.focusPolicy() & Qt.FocusPolicy.TabFocus == Qt.FocusPolicy.TabFocus for each in inner
    )


def _part_of(widget: QWidget, parts: Sequence[QWidget]) -> int:
    for number, part in enumerate(parts):
        if part is widget or part.isAncestorOf(widget):
            return number
    return len(parts)


def _stop_of(widget: QWidget | None, order: list[QWidget]) -> QWidget | None:
    """The stop that has the focus, itself or through a part of it."""
    while widget is not None:
        if widget in order:
            return widget
        widget = widget.parentWidget()
    return None
