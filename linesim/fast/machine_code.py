"""Machine code made ready to be called, without numba: what a second start needs."""

# mypy: disable-error-code="no-untyped-call,import-untyped"
from __future__ import annotations

import ctypes
from collections.abc import Callable

import llvmlite.binding as llvm

Told = Callable[[int, int, int], None]
"""The compiled engine: the address of a state, what to do, until when (ns)."""

_TOLD = ctypes.CFUNCTYPE(None, ctypes.c_void_p, ctypes.c_int64, ctypes.c_int64)
_KEPT: list[object] = []
"""LLVM frees machine code with its engine."""


def target_machine() -> llvm.TargetMachine:
    """This machine, for code that is loaded into this process."""
    llvm.initialize_native_target()
    llvm.initialize_native_asmprinter()
    return llvm.Target.from_default_triple().create_target_machine(
        cpu=llvm.get_host_cpu_name(),
        features=llvm.get_host_cpu_features().flatten(),
        opt=3,
        reloc="pic",
        codemodel="default",
    )


def load(machine_code: bytes, symbol: str) -> Told:
    """The function of that symbol in an object file made for this machine."""
    engine = llvm.create_mcjit_compiler(llvm.parse_assembly(""), target_machine())
    engine.add_object_file(llvm.ObjectFileRef.from_data(machine_code))
    engine.finalize_object()
    _KEPT.append(engine)
    return _TOLD(engine.get_function_address(symbol))
