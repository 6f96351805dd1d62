"""How compiled functions reach what is compiled later, and Python itself.

The parts of the line call each other in circles. Compiled functions cannot (not with a cache on
disk), so one function, ``told``, stands at the end of the chain and its address in the state;
``tell`` calls it. ``ask_python`` calls back for what is drawn by the line's own laws of chance.
"""

# mypy: disable-error-code="untyped-decorator,call-arg"
from __future__ import annotations

from typing import Any

from llvmlite import ir  # type: ignore[import-untyped]
from numba import from_dtype, njit, types
from numba.extending import intrinsic

from linesim.fast.layout import STATE

RECORD = from_dtype(STATE)
_I64 = ir.IntType(64)
_BYTE = ir.IntType(8)

part = njit(cache=True, error_model="numpy")
"""A compiled function of the line; exact floating arithmetic, in the order written."""


@intrinsic
def _call_told(typing: Any, address: Any, s: Any, what: Any, a: Any) -> Any:
    def generate(context: Any, builder: Any, signature: Any, args: Any) -> Any:
        kind = ir.FunctionType(ir.VoidType(), [_BYTE.as_pointer(), _I64, _I64])
        function = builder.inttoptr(args[0], kind.as_pointer())
        state = builder.bitcast(args[1], _BYTE.as_pointer())
        builder.call(function, [state, args[2], args[3]])
        return context.get_dummy_value()

    return types.void(types.int64, s, types.int64, types.int64), generate


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


@part
def tell(s: Any, what: int, a: int) -> None:
    """Have something done that is compiled later."""
    _call_told(s.told_at, s, what, a)


(
    MOVE_ON,
    PAUSED,
    RESUMED,
    GRANT_STOPPAGE,
    GRANT_REEL,
    GRANT_PREPARE,
    GRANT_JOB,
    ADD,
    RELEASE,
    SET_TAKEN,
    LEVEL_ROSE,
    LEVEL_FELL,
    ROOM,
    SETTLE,
    SHOW,
    RUN,
    CLOSE,
    FORGET,
) = range(18)


@part
def settle(s: Any) -> None:
    """Everything catches up to now."""
    tell(s, SETTLE, 0)


@part
def show(s: Any) -> None:
    """Every station's state is entered."""
    tell(s, SHOW, 0)
