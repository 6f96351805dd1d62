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


end_stop = later("machine.end_stop", "s", "machine", "i")
machine_mended = later("machine.machine_mended", "s", "machine", "cause", "i")
web_mended = later("web_stops.web_mended", "s", "c", "hold")
reels_reached = later("unwind.reels_reached", "s", "x")
hurry_stand = later("unwind.hurry_stand", "s", "stand")
replaced = later("unwind.replaced", "s", "stand")
plan_webs = later("web_plan.plan_webs", "s")
room = later("transfer.room", "s")
add_hold = later("webs.add_hold", "s", "hold")
release_hold = later("webs.release_hold", "s", "hold")
set_taken = later("webs.set_taken", "s")
arrived = later("packing.arrived", "s")
move_on = later("packing.move_on", "s")
plan_packing = later("packing.plan_packing", "s")
settle = later("floor.settle", "s")
show = later("floor.show", "s")
level_fell = later("levels.level_fell", "s")
level_rose = later("levels.level_rose", "s")
job_begun = later("kernel.job_begun", "s", "job")
job_waits = later("kernel.job_waits", "s", "job")
paused = later("kernel.paused", "s", "machine")
resumed = later("kernel.resumed", "s", "machine")
