"""The strings of the program's text: all literals but those that only developers read."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]


ANYTHING = re.compile("")


def trees(*folders: str, holding: re.Pattern[str] = ANYTHING) -> Iterator[tuple[str, ast.Module]]:
    """Each module below the folders that holds such text, with its path."""
    for folder in folders:
        for path in sorted((ROOT / folder).rglob("*.py")):
            text = path.read_text(encoding="utf-8")
            if holding.search(text):
                yield str(path.relative_to(ROOT)), ast.parse(text)


def shown_strings(*folders: str, holding: re.Pattern[str] = ANYTHING) -> Iterator[tuple[str, str]]:
    """Place and text of each, in modules that hold such text; the help of a command counts."""
    for path, tree in trees(*folders, holding=holding):
        unread = set(_docstrings(tree))
        for node in ast.walk(tree):
            if isinstance(node, ast.JoinedStr):
                unread.update(id(part) for part in node.values)
                parts = (p.value if isinstance(p, ast.Constant) else "{}" for p in node.values)
                yield f"{path}:{node.lineno}", "".join(map(str, parts))
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield from [(f"{path}:{node.lineno}", node.value)] * (id(node) not in unread)


def _docstrings(tree: ast.Module) -> Iterator[int]:
    for node in ast.walk(tree):
        body = getattr(node, "body", None)
        # The docstring of a command is its help.
        if any("command" in ast.unparse(each) for each in getattr(node, "decorator_list", ())):
            continue
        for each in body if isinstance(body, list) else ():
            if isinstance(each, ast.Expr) and isinstance(each.value, ast.Constant):
                yield id(each.value)
