"""From the parts to machine code: numba gives each part's code, LLVM links and optimises all.

numba alone would link every part again with everything it calls, for each caller.
"""

# mypy: disable-error-code="no-untyped-call,import-untyped"
from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from multiprocessing import get_context

import llvmlite.binding as llvm
from numba import cfunc

from linesim.fast.machine_code import target_machine
from linesim.fast.parts import LATER, PARTS, Part
from linesim.fast.rules import floor, kernel, levels

_PARTS_AT_ONCE = 12
_WITH_ALL_PARTS = (kernel, floor, levels)
"""Modules from which all others are reached; some are named by ``later`` alone."""


def _code_of(part: Part) -> str:
    """A part in LLVM's language, under its own symbol."""
    assert part.function is not None
    compiled = cfunc(part.signature, error_model="numpy")(part.function)
    return str(compiled.inspect_llvm()).replace(compiled.native_name, part.symbol)


def _code_of_some(symbols: Sequence[str]) -> list[str]:
    for symbol in PARTS:
        # numba turns each part into machine code at once; what it calls is not there yet, and
        # that code is never run.
        llvm.add_symbol(symbol, 16)
    return [_code_of(PARTS[symbol]) for symbol in symbols]


def _code_of_all(processes: int, heard: Callable[[float], None]) -> list[str]:
    if unknown := LATER - set(PARTS):
        names = ", ".join(module.__name__ for module in _WITH_ALL_PARTS)
        raise LookupError(f"no part called {', '.join(sorted(unknown))} reached from {names}")
    symbols = list(PARTS)
    groups = [symbols[i : i + _PARTS_AT_ONCE] for i in range(0, len(symbols), _PARTS_AT_ONCE)]
    done: dict[int, list[str]] = {}
    if processes == 1:
        for i, group in enumerate(groups):
            done[i] = _code_of_some(group)
            heard(len(done) / len(groups))
    else:
        with ProcessPoolExecutor(processes, mp_context=get_context("spawn")) as pool:
            asked = {pool.submit(_code_of_some, group): i for i, group in enumerate(groups)}
            for answer in as_completed(asked):
                done[asked[answer]] = answer.result()
                heard(len(done) / len(groups))
    return [code for i in sorted(done) for code in done[i]]


def compile_parts(processes: int = 1, heard: Callable[[float], None] = lambda share: None) -> bytes:
    """The machine code of all parts as an object file of this machine.

    ``heard`` is told the share that is done.
    """
    whole = llvm.parse_assembly("")
    for code in _code_of_all(processes, heard):
        whole.link_in(llvm.parse_assembly(code))
    for function in whole.functions:
        if not function.is_declaration and function.name != kernel.told.symbol:
            function.linkage = "internal"
    machine = target_machine()
    options = llvm.create_pipeline_tuning_options(speed_level=3)
    builder = llvm.create_pass_builder(machine, options)
    builder.getModulePassManager().run(whole, builder)
    return bytes(machine.emit_object(whole))
