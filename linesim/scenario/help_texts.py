"""What stands below a field in the source is its help text: read when it is asked for.

pydantic can read it, too, but does so for each class while it is made, with its own search
for the source: a tenth of the time to the first picture of a window.
"""

from __future__ import annotations

import ast
import inspect
import sys
from functools import cache
from itertools import pairwise

from pydantic import BaseModel


@cache
def help_texts(table: type[BaseModel]) -> dict[str, str]:
    """The help of each field under the name a file gives it; "" where there is none.

    What a field was declared with goes first, then the text below it, also of a class before.
    """
    below: dict[str, str] = {}
    for each in reversed(table.__mro__):
        if each.__module__.partition(".")[0] == __name__.partition(".")[0]:
            below |= _below_fields(each.__module__).get(each.__qualname__, {})
    return {
        info.alias or name: info.description or below.get(name, "")
        for name, info in table.model_fields.items()
    }


@cache
def _below_fields(module: str) -> dict[str, dict[str, str]]:
    """By class, then by field."""
    tree = ast.parse(inspect.getsource(sys.modules[module]))
    classes = [node for node in tree.body if isinstance(node, ast.ClassDef)]
    return {each.name: dict(_texts(each.body)) for each in classes}


def _texts(body: list[ast.stmt]) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    for field, below in pairwise(body):
        match field, below:
            case (
                ast.AnnAssign(target=ast.Name(id=name)),
                ast.Expr(value=ast.Constant(value=str(text))),
            ):
                found.append((name, inspect.cleandoc(text)))
    return found
