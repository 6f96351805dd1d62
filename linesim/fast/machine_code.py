"""Machine code made ready to be called, without numba: what a second start needs."""

# mypy: disable-error-code="no-untyped-call,import-untyped"
from __future__ import annotations

import ctypes
import platform
from collections.abc import Callable
from typing import Any

import llvmlite.binding as llvm

from linesim.line.counting import begin_as_said, begin_counting, end_counting, run_some

ENTRIES: tuple[Callable[..., Any], ...] = (run_some, begin_as_said, begin_counting, end_counting)
"""The rules with which a run begins."""
_KEPT: list[object] = []
"""LLVM frees machine code with its engine."""

_LEAST = {"x86_64": "x86-64-v2", "amd64": "x86-64-v2"}
"""The least of a kind of processor that a bundle is for."""

Engine = dict[str, Callable[..., int]]
"""The rules with which a run begins, by their symbols. Each takes the address of a line."""


def symbol_of(rule: Callable[..., Any]) -> str:
    """The name of a rule in machine code."""
    return f"{rule.__module__}.{rule.__name__}"


def target_machine(*, any_processor: bool = False) -> llvm.TargetMachine:
    """This machine, for code that is loaded into this process, or any with a processor of its kind.

    At least as old as those that numpy and Qt need.
    """
    cpu, features = llvm.get_host_cpu_name(), llvm.get_host_cpu_features().flatten()
    if any_processor:
        cpu, features = _LEAST.get(platform.machine().lower(), "generic"), ""
    llvm.initialize_native_target()
    llvm.initialize_native_asmprinter()
    return llvm.Target.from_default_triple().create_target_machine(
        cpu=cpu,
        features=features,
        opt=3,
        reloc="pic",
        codemodel="default",
    )


def load(machine_code: bytes) -> Engine:
    """The rules with which a run begins, in an object file made for this machine."""
    # With its own memory manager, which lays all of an object into one block: what is called must
    # lie within 2 GB of who calls it, else LLVM ends the process.
    engine = llvm.create_mcjit_compiler(llvm.parse_assembly(""), target_machine(), use_lmm=True)
    engine.add_object_file(llvm.ObjectFileRef.from_data(machine_code))
    engine.finalize_object()
    _KEPT.append(engine)
    kinds = {
        symbol_of(entry): ctypes.CFUNCTYPE(
            ctypes.c_int64, ctypes.c_void_p, *[ctypes.c_int64] * (entry.__code__.co_argcount - 1)
        )
        for entry in ENTRIES
    }
    return {symbol: kind(engine.get_function_address(symbol)) for symbol, kind in kinds.items()}
