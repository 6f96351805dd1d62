"""From the parts to machine code: numba gives each part's code, LLVM links and optimises all.

numba alone would link and optimise every part again with everything it calls, for each caller: a
minute where this takes seconds.
"""

# mypy: disable-error-code="no-untyped-call,import-untyped"
from __future__ import annotations

from collections.abc import Callable

import llvmlite.binding as llvm
from numba import cfunc

from linesim.fast import kernel
from linesim.fast.machine_code import target_machine
from linesim.fast.parts import PARTS, Part


def _code_of(part: Part) -> str:
    """A part in LLVM's language, under its own symbol."""
    assert part.function is not None
    compiled = cfunc(part.signature, error_model="numpy")(part.function)
    return str(compiled.inspect_llvm()).replace(compiled.native_name, part.symbol)


def compile_parts(heard: Callable[[float], None] = lambda share: None) -> bytes:
    """The machine code of all parts as an object file of this machine.

    ``heard`` is told the share that is done.
    """
    for symbol in PARTS:
        # numba turns each part into machine code at once; what it calls is not there yet, and
        # that code is never run.
        llvm.add_symbol(symbol, 16)
    whole = llvm.parse_assembly("")
    for done, part in enumerate(PARTS.values()):
        whole.link_in(llvm.parse_assembly(_code_of(part)))
        heard((done + 1) / len(PARTS))
    for function in whole.functions:
        if not function.is_declaration and function.name != kernel.told.symbol:
            function.linkage = "internal"
    machine = target_machine()
    options = llvm.create_pipeline_tuning_options(speed_level=3)
    builder = llvm.create_pass_builder(machine, options)
    builder.getModulePassManager().run(whole, builder)
    return bytes(machine.emit_object(whole))
