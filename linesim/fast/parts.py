"""What a compiled function of the line is, before it is compiled.

Each part becomes one function with C's way of calling, known to the others by a symbol alone. So
every part is compiled once and by itself, parts may call each other in circles as the stations of
the line do, and whoever links them together may inline at will.
"""

from __future__ import annotations

import ast
import inspect
import textwrap
from collections.abc import Callable
from typing import Any

from numba import types

from linesim.fast.state_type import STATE_TYPE, ColumnType

_TYPES: dict[str, Any] = {
    "": types.int64,
    "int": types.int64,
    "float": types.float64,
    "Column": ColumnType(types.int64, 0),
}
Column = Any
"""Says of an argument that it is a field of several numbers."""
PARTS: dict[str, Part] = {}
"""Every part that was defined, by its symbol."""
LATER: set[str] = set()
"""Symbols of all that ``later`` was asked for."""


class Part:
    """A function of the line to be compiled; numba takes it for a function it can call."""

    def __init__(self, symbol: str, signature: Any, function: Callable[..., Any] | None) -> None:
        self.symbol, self.signature, self.function = symbol, signature, function
        self._numba_type_ = types.ExternalFunction(symbol, signature)

    def __call__(self, *_: Any) -> Any:
        """Never called so: a part has a body for compiled code only."""
        raise TypeError(f"{self.symbol} is compiled and can only be called by compiled code")


def _symbol(module: str, name: str) -> str:
    return f"linesim.{module}.{name}"


def _gives(function: Callable[..., Any]) -> Any:
    """What a function returns: nothing, a number with a fraction if it says so, or a whole one."""
    if function.__annotations__.get("return") == "float":
        return types.float64
    tree = ast.parse(textwrap.dedent(inspect.getsource(function)))
    returns = any(isinstance(node, ast.Return) and node.value for node in ast.walk(tree))
    return types.int64 if returns else types.void


def part(function: Callable[..., Any]) -> Part:
    """A function of the line.

    Its argument ``s`` is the state; the others are whole numbers unless annotated as ``float`` or
    ``Column``. It returns a whole number, if anything, unless annotated as ``float``.
    """
    module = function.__module__.rpartition(".")[2]
    names = inspect.signature(function).parameters
    said = function.__annotations__
    takes = [STATE_TYPE if name == "s" else _TYPES[said.get(name, "")] for name in names]
    made = Part(_symbol(module, function.__name__), _gives(function)(*takes), function)
    if made.symbol in PARTS:
        raise ValueError(f"{made.symbol} is defined twice")
    PARTS[made.symbol] = made
    return made


def later(name: str, *takes: str) -> Part:
    """A part that is defined further on: ``later("packing.move_on", "s")``. It returns nothing."""
    module, _, function = name.partition(".")
    kinds = [STATE_TYPE if name == "s" else types.int64 for name in takes]
    symbol = _symbol(module, function)
    LATER.add(symbol)
    return Part(symbol, types.void(*kinds), None)
