"""How the parts reach what is defined further on, Python, and memory outside the state."""

# mypy: disable-error-code="import-untyped"
from __future__ import annotations

from typing import Any

from llvmlite import ir
from numba import types
from numba.extending import intrinsic

from linesim.fast.parts import later

_I64 = ir.IntType(64)


@intrinsic
def ask_python(typing: Any, address: Any, number: Any) -> Any:
    """Call the Python function at ``address`` with a number."""

    def generate(context: Any, builder: Any, signature: Any, args: Any) -> Any:
        kind = ir.FunctionType(ir.VoidType(), [_I64])
        function = builder.inttoptr(args[0], kind.as_pointer())
        builder.call(function, [args[1]])
        return context.get_dummy_value()

    return types.void(types.int64, types.int64), generate


@intrinsic
def peek(typing: Any, address: Any) -> Any:
    """The whole number at an address."""

    def generate(context: Any, builder: Any, signature: Any, args: Any) -> Any:
        return builder.load(builder.inttoptr(args[0], _I64.as_pointer()))

    return types.int64(types.int64), generate


@intrinsic
def poke(typing: Any, address: Any, value: Any) -> Any:
    """Write a whole number to an address."""

    def generate(context: Any, builder: Any, signature: Any, args: Any) -> Any:
        builder.store(args[1], builder.inttoptr(args[0], _I64.as_pointer()))
        return context.get_dummy_value()

    return types.void(types.int64, types.int64), generate


GRANT_STOPPAGE, GRANT_REEL, GRANT_PREPARE, GRANT_JOB = range(4)
"""Whom the crew tells that people are there."""

move_on = later("packing.move_on", "s")
paused = later("kernel.paused", "s", "machine")
resumed = later("kernel.resumed", "s", "machine")
granted = later("kernel.granted", "s", "kind", "what")
add_hold = later("webs.add_hold", "s", "hold")
release_hold = later("webs.release_hold", "s", "hold")
set_taken = later("webs.set_taken", "s")
level_rose = later("kernel.level_rose", "s")
level_fell = later("kernel.level_fell", "s")
settle = later("settling.settle_all", "s")
show = later("settling.show_all", "s")
