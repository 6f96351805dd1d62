"""Where each part of a line is drawn: from the scenario's numbers and the size of the picture.

Reels are drawn from the side; from the pockets on the line is drawn from above. Widths follow what
a part has to show: reels by their number, pockets by lanes, the bridge by its places.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF

from linesim.scenario import WEB_STATIONS

if TYPE_CHECKING:
    from linesim import Scenario

MARGIN = 12.0
_LEAST_BRIDGE, _MOST_BRIDGE = 2.0, 4.2
"""Shares of the width, in the unit of the fixed shares below."""
_TALLEST = 0.32
"""Of the width, for the part in which machines are drawn."""
_WIDE, _HIGH = 88, 22
"""So many times its letters a picture is wide and high at least where these are large."""
_SHARES = {
    "web_path": 0.8,
    "overlap_belt": 1.0,
    "transfer": 0.85,
}
_MACHINE = 0.66
"""Of a station on the webs with nothing to show but itself."""
_END_OF_LINE = 0.9
"""Of a place behind the wrappers, with one station or several side by side."""


_BOLD = 0.62
"""Width of a bold letter at most, in sizes of the text."""


_SMALLEST = 9
_APART = 4
"""Between names beside each other, px."""
_LETTER = 0.55
"""Width of a letter at most, in sizes of the text."""


def _longest_word(name: str) -> int:
    return max(len(word) for word in name.replace("_", " ").split())


def _letters(scenario: Scenario, names: list[str]) -> dict[str, float]:
    """How many bold letters each column has to be wide for what is written in it."""
    found: dict[str, float] = {name: _longest_word(name) for name in names}
    level = f"{scenario.bridge_places} of {scenario.bridge_places} reams"
    found["bridge"] = max(found["bridge"], len(level) * _LETTER / _BOLD)
    wrappers = [wrapper.name for wrapper in scenario.wrapper]
    found["wrappers"] = _longest_word(wrappers[0])
    if len(wrappers) > 1:
        # Each has its own above it, within its box.
        found["wrappers"] = max(len("wrappers"), *(len(name) + 1 for name in wrappers))
    return found


def _least_px(letters: dict[str, float], text: int) -> float:
    return sum(_BOLD * text * count + _APART for count in letters.values())


def _with_room(wide: dict[str, float], least: dict[str, float]) -> dict[str, float]:
    """Columns no narrower than their names; the others give what it takes, each by its spare."""
    lacking = sum(max(0.0, least[name] - wide[name]) for name in wide)
    spare = sum(max(0.0, wide[name] - least[name]) for name in wide)
    part = min(1.0, lacking / spare) if spare else 0.0
    if lacking > spare:
        return wide
    return {name: max(least[name], wide[name] - part * (wide[name] - least[name])) for name in wide}


@dataclass(frozen=True)
class PlanLayout:
    """Areas of one picture. ``columns`` holds, for each station (wrappers together as
    "wrappers"), the strip of the picture that is its own, from top to bottom."""

    size: tuple[float, float]
    columns: dict[str, QRectF]
    deck: QRectF
    """The part of the height in which machines are drawn."""
    names: QRectF
    states: QRectF
    text_px: int

    def of(self, station: str) -> QRectF:
        """The drawing area of a station: its column within the deck."""
        column = self.columns[station]
        return QRectF(column.left(), self.deck.top(), column.width(), self.deck.height())

    @classmethod
    def for_line(
        cls, scenario: Scenario, width: float, height: float, letters_px: int = 0
    ) -> PlanLayout:
        """Lay out a line in a picture of this size (px); where there is room with letters no
        smaller than those around it."""
        shares = {"unwind": 0.74 * min(scenario.unwind.webs, 6) + 0.4}
        on_webs = (name for name in WEB_STATIONS if name not in ("unwind", "pockets"))
        shares |= {name: _SHARES.get(name, _MACHINE) for name in on_webs}
        shares["pockets"] = min(2.4, 0.9 + 0.12 * scenario.most_set_reams)
        shares["transfer"] = _SHARES["transfer"]
        rows = scenario.bridge_places / scenario.bridge.tracks
        shares["bridge"] = min(_MOST_BRIDGE, max(_LEAST_BRIDGE, 1.4 + 0.05 * rows))
        shares["wrappers"] = 1.6
        shares |= dict.fromkeys(scenario.end_places, _END_OF_LINE)
        whole = sum(shares.values())
        inner = width - 2 * MARGIN
        text = 12 if width < 1100 else 13 if width < 1600 else 15
        text = max(text, min(letters_px, int(width / _WIDE), int(height / _HIGH)))
        wide = {name: inner * share / whole for name, share in shares.items()}
        letters = _letters(scenario, list(wide))
        # Smaller letters before words that run into each other.
        while text > _SMALLEST and _least_px(letters, text) > inner:
            text -= 1
        least = {name: _BOLD * text * count + _APART for name, count in letters.items()}
        columns: dict[str, QRectF] = {}
        left = MARGIN
        for name, room in _with_room(wide, least).items():
            columns[name] = QRectF(left, 0, room, height)
            left += room
        head, line = 2.4 * text, 1.35 * text
        states = min(height * 0.3, 4.6 * line)
        one_line = all(_BOLD * text * len(name) < columns[name].width() for name in columns)
        names = (1.2 if one_line else 2.3) * line
        # Taller than this a line looks stretched: what is left over lies above and below it.
        deck = min(max(60.0, height - head - states - names), _TALLEST * width)
        head += 0.45 * max(0.0, height - head - deck - names - states)
        return cls(
            (width, height),
            columns,
            QRectF(MARGIN, head, inner, deck),
            QRectF(MARGIN, head + deck, inner, names),
            QRectF(MARGIN, head + deck + names, inner, states),
            text,
        )
