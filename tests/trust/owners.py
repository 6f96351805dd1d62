"""Who the binding takes for the owner of each Qt object, and whether Qt agrees.

PySide keeps a tree of owners of its own. A wrapper lives as long as its owner, and when the
collector takes the owner, what it owns is destroyed. For most calls that give an object PySide
makes the asked object the owner of the given one; where Qt's tree does not have it so, the two
trees part, and a widget that stands in the window may be taken.
"""

from __future__ import annotations

import gc
import re
from typing import NamedTuple

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QGraphicsItem, QGraphicsLayout, QLayout
from shiboken6 import Shiboken

_OWNER = re.compile(r"^parent\.* .* at (0x[0-9a-f]+)>", re.MULTILINE)

MISLEADING = frozenset(
    {
        "actionGroup",
        "buddy",
        "focusProxy",
        "nextInFocusChain",
        "previousInFocusChain",
        "screen",
        "topLevelWidget",
        "windowHandle",
    }
)
"""Methods after which PySide takes the asked widget for the owner of one that is not in it."""


class WrongOwner(NamedTuple):
    """An object and who is taken for its owner."""

    owned: QObject
    owner: object


def wrong_owners() -> list[WrongOwner]:
    """Every living Qt object that PySide says is owned by one that Qt does not have it in."""
    known = {id(each): each for each in gc.get_objects()}
    found = []
    for each in list(known.values()):
        if not isinstance(each, QObject) or not Shiboken.isValid(each):
            continue
        said = _OWNER.search(Shiboken.dump(each))
        if said is None:
            continue
        owner = known.get(int(said[1], 16))
        if not _is_in(each, owner):
            found.append(WrongOwner(each, owner))
    return found


def _is_in(inner: QObject, owner: object) -> bool:
    if isinstance(owner, QLayout) and Shiboken.isValid(owner):
        # What a layout arranges is in its widget, as it is itself.
        owner = owner.parentWidget()
    elif isinstance(owner, QGraphicsLayout) and Shiboken.isValid(owner):
        owner = owner.parentLayoutItem()
    at: object = inner
    while at is not None and at is not owner:
        at = _around(at)
    return at is not None


def _around(at: object) -> object:
    """What Qt has it in: an item of a drawing has no parent object, but one item around it."""
    if isinstance(at, QGraphicsItem):
        return at.parentItem() or at.scene()
    return at.parent() if isinstance(at, QObject) else None
