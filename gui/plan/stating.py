"""Names of the stations and, below them, what each does and why, in words under its hatch."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QRectF

from gui.plan.brushes import fill_state
from gui.plan.scene import Scene
from linesim.record import State, StationNow, station_words

SWATCH_PX = 9.0
_LEAST_TEXT, _LEAST_QUIET = 8.4, 4.7
"""Widths of words that have to be read, and of those that may be cut, in sizes of the text."""


@dataclass
class _Cell:
    """Stations side by side that do the same for the same reason."""

    area: QRectF
    words: str
    quiet: bool


def draw_states(scene: Scene) -> None:
    """Names, swatches, words; neighbours with the same words share them."""
    layout, moment = scene.layout, scene.moment
    below = SWATCH_PX + (3 if scene.other is None else 6)
    cells: list[_Cell] = []
    for name, column in layout.columns.items():
        own = own_stations(scene, name)
        states = [moment.station(each) for each in own]
        shown = own[0] if len(own) == 1 else name
        place = QRectF(column.left(), layout.names.top(), column.width(), layout.names.height())
        scene.write(place, station_words(shown), bold=True, smaller=1)
        swatch = column.width() / len(states)
        for number, each in enumerate(states):
            bar = QRectF(
                column.left() + number * swatch + 1, layout.states.top(), swatch - 2, SWATCH_PX
            )
            fill_state(scene.painter, bar, each, scene.palette)
        text = _together(states)
        quiet = all(each.state is State.RUNNING or each.for_pace for each in states)
        if cells and cells[-1].words == text:
            cells[-1].area.setRight(column.right())
        else:
            top = layout.states.top() + below
            height = layout.states.height() - below
            cells.append(_Cell(QRectF(column.left(), top, column.width(), height), text, quiet))
    _widen(cells, layout.text_px)
    for cell in cells:
        scene.write(cell.area.adjusted(2, 0, -2, 0), cell.words, quiet=cell.quiet, smaller=1)


def own_stations(scene: Scene, column: str) -> list[str]:
    """The stations that a column of the drawing stands for."""
    wrappers = [wrapper.name for wrapper in scene.scenario.wrapper]
    if column == "wrappers":
        return wrappers
    return list(scene.scenario.end_places.get(column, (column,)))


def _together(states: list[StationNow]) -> str:
    """The words of machines side by side: each by its name, many that do the same by number."""
    by_words: dict[str, list[str]] = {}
    # What runs comes last: it is what may be cut off.
    for each in sorted(states, key=lambda each: each.state is State.RUNNING):
        by_words.setdefault(each.words, []).append(each.name)
    if len(by_words) == 1:
        return next(iter(by_words))
    return "\n".join(
        f"{', '.join(names) if len(names) < 3 else f'{len(names)} of {len(states)}'}: {words}"
        for words, names in by_words.items()
    )


def _widen(cells: list[_Cell], text_px: int) -> None:
    """Give narrow cells of standing stations room from neighbours that have it to spare."""
    least, least_quiet = _LEAST_TEXT * text_px, _LEAST_QUIET * text_px
    for number, cell in enumerate(cells):
        lacks = least - cell.area.width()
        if lacks <= 0 or cell.quiet:
            continue
        for other, sign in ((number - 1, -1), (number + 1, 1)):
            if not 0 <= other < len(cells):
                continue
            spare = cells[other].area.width() - (least_quiet if cells[other].quiet else least)
            take = min(lacks / 2, max(0.0, spare))
            if sign < 0:
                cells[other].area.setRight(cells[other].area.right() - take)
                cell.area.setLeft(cell.area.left() - take)
            else:
                cells[other].area.setLeft(cells[other].area.left() + take)
                cell.area.setRight(cell.area.right() + take)
