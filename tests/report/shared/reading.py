"""A reader of shared pages of its own: it knows the letters of the file and no code of linesim."""

from __future__ import annotations

import json
from html.parser import HTMLParser
from typing import Any

DIGITS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"


class _Parser(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[tuple[str, str | None]] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.run = self.script = ""
        self.said: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in ("meta", "input", "br"):
            self.open.append((tag, dict(attrs).get("id")))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop()[0] == tag

    def handle_data(self, data: str) -> None:
        if not self.open:
            return
        if self.open[-1][1] == "run":
            self.run += data
        elif self.open[-1][0] == "script":
            self.script += data
        elif self.open[-1][0] != "style":
            self.said.append(data)


class SharedFile:
    """What a browser finds in the page."""

    def __init__(self, html: str) -> None:
        parser = _Parser()
        parser.feed(html)
        parser.close()
        assert parser.open == []
        self.elements, self.script = parser.elements, parser.script
        self.run: dict[str, Any] = json.loads(parser.run)
        self.said = " ".join(" ".join(parser.said).split())
        words = self.run["texts"]["words"].split(" ")
        rows = iter(numbers(self.run["texts"]["rows"]))
        self.texts = [" ".join(words[next(rows)] for _ in range(count)) for count in rows]
        self.at_ms = column(self.run["at"])
        self.stops = {name: column(packed) for name, packed in self.run["stops"]["columns"].items()}

    def words(self, name: str) -> list[str]:
        """What a column of texts says at each moment."""
        return [self.texts[number] for number in column(self.run["words"][name])]

    def lane(self, name: str) -> list[tuple[int, int, str]]:
        """From when on (ms) a station is in which state, and in which words."""
        says, looks = column(self.run["says"]), self.run["looks"]
        (lane,) = (each for each in self.run["lanes"] if each["name"] == name)
        rows, left, place = [], iter(numbers(lane["changes"])), 0
        for token in left:
            place += token // 2
            from_ms = self.at_ms[place] + (next(left) if token % 2 else 0)
            rows.append((from_ms, next(left)))
        return [(ms, looks[n][0], self.texts[says[n]]) for ms, n in rows]

    def groups(self, packed: str, each: int) -> list[list[tuple[int, ...]]]:
        """Groups of entries of so many numbers, each group behind its count."""
        left = iter(numbers(packed))
        return [[tuple(next(left) for _ in range(each)) for _ in range(count)] for count in left]

    def tables(self) -> list[list[list[str]]]:
        """Of every stop, the cells of the table of its ripple."""
        heads = len(self.run["stops"]["heads"])
        found = self.groups(self.run["stops"]["cells"], heads)
        return [[[self.texts[cell] for cell in row] for row in rows] for rows in found]


def numbers(packed: str) -> list[int]:
    found, number, weight = [], 0, 1
    for digit in packed:
        value = DIGITS.index(digit)
        number += value % 32 * weight
        weight *= 32
        if value < 32:
            found.append(number)
            number, weight = 0, 1
    assert weight == 1
    return found


def column(packed: str) -> list[int]:
    found: list[int] = []
    value, tokens = 0, iter(numbers(packed))
    for token in tokens:
        sign, more = divmod(token, 2)
        step = -(sign + 1) // 2 if sign % 2 else sign // 2
        for _ in range(1 + (next(tokens) if more else 0)):
            value += step
            found.append(value)
    return found
