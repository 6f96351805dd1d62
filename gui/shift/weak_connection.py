"""Views that listen to the model only as long as they are there.

A view may be gone in two ways: nobody holds on to it any more, or Qt has taken its widget away
while somebody still does. It is told nothing then.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from weakref import WeakMethod

from shiboken6 import isValid

if TYPE_CHECKING:
    from collections.abc import Callable

    from psygnal import SignalInstance


class WeakSlot:
    """A method of a view, which is not held on to."""

    def __init__(self, method: Callable[..., object]) -> None:
        self._kept: WeakMethod[Any] = WeakMethod(method)

    def method(self) -> Callable[..., object] | None:
        """The method; None where its view is gone."""
        method: Any = self._kept()
        return method if method is not None and isValid(method.__self__) else None


def connect_weakly(signal: SignalInstance, slot: Callable[..., object]) -> None:
    """Have a view's *slot* called with what *signal* says, until the view is gone."""
    listener = WeakSlot(slot)

    def forward(*values: Any) -> None:
        method = listener.method()
        if method is None:
            signal.disconnect(forward)
        else:
            method(*values)

    signal.connect(forward)
