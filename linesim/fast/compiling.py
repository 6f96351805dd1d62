"""From the rules to machine code: numba gives each rule's code, LLVM links and optimises all.

Each rule becomes one function with C's way of calling, known to the others by its symbol alone. So
every rule is compiled once and by itself, rules may call each other in circles as the stations of
the line do, and LLVM may inline at will. numba alone would link every rule again with everything
it calls, for each caller.
"""

# mypy: disable-error-code="no-untyped-call,import-untyped,attr-defined"
from __future__ import annotations

import dis
import os
from collections.abc import Iterator
from functools import cache, lru_cache, partial
from types import FunctionType, ModuleType
from typing import Any

import llvmlite.binding as llvm
from llvmlite import ir
from numba import types
from numba.core import compiler, config
from numba.core.registry import cpu_target
from numba.core.typing.typeof import typeof_impl

from linesim.fast.layout import hints_of, kind_of
from linesim.fast.machine_code import ENTRIES, symbol_of, target_machine
from linesim.fast.record_types import type_of
from linesim.line import history, typed

_FROM_LIBM = {"pow", "sqrt", "ceil", "rint"}
_RAISED = "linesim.a rule raised"
"""Called by a rule that has raised something. None can: LLVM finds that out and drops the call."""
_OF_BOTH = (typed.add, typed.shorten, typed.outside, history.note)
"""What the two ways to run have each in their own way."""


def _is_rule(value: object) -> bool:
    rules = isinstance(value, FunctionType) and value.__module__.startswith("linesim.line.")
    return rules and value not in _OF_BOTH


@cache
def _signature(rule: FunctionType) -> Any:
    hints = hints_of(rule)
    given = hints.pop("return", type(None))
    takes = [_as_seen(said) for said in hints.values()]
    return (types.void if given is type(None) else _as_seen(given))(*takes)


def _as_seen(said: Any) -> Any:
    kind = kind_of(said)
    assert kind is not None
    return type_of(kind)


@cache
def _external(rule: FunctionType) -> Any:
    return types.ExternalFunction(symbol_of(rule), _signature(rule))


@typeof_impl.register(FunctionType)
def _typeof_rule(rule: FunctionType, _: Any) -> Any:
    return _external(rule) if _is_rule(rule) else None


def _called_by(rule: FunctionType) -> Iterator[FunctionType]:
    """Rules that a rule calls, by their own names or by those of their modules."""
    module: ModuleType | None = None
    for step in dis.get_instructions(rule):
        value: Any = None
        if step.opname == "LOAD_GLOBAL":
            value = rule.__globals__.get(step.argval)
        elif module is not None and step.opname in ("LOAD_ATTR", "LOAD_METHOD"):
            value = getattr(module, step.argval)
        module = value if isinstance(value, ModuleType) else None
        if _is_rule(value):
            yield value


@lru_cache(maxsize=1)
def all_rules() -> tuple[FunctionType, ...]:
    """Every rule that can be reached from those that a run begins with."""
    found: dict[str, FunctionType] = {}
    to_see: list[Any] = list(ENTRIES)
    while to_see:
        rule = to_see.pop()
        if symbol_of(rule) not in found:
            found[symbol_of(rule)] = rule
            to_see += _called_by(rule)
    return tuple(found[symbol] for symbol in sorted(found))


def _callable_by_all(target: Any, library: Any, fndesc: Any, env: Any, helper: Any) -> None:
    """A function with C's way of calling, under the rule's symbol, that LLVM may inline.

    In place of numba's own, which nobody may inline, and which prints what was raised.
    """
    module = target.create_module(fndesc.qualname)
    convention, takes, gives = target.call_conv, fndesc.argtypes, fndesc.restype
    inner = ir.Function(module, convention.get_function_type(gives, takes), fndesc.llvm_func_name)
    seen = ir.FunctionType(
        target.get_value_type(gives), [target.get_value_type(each) for each in takes]
    )
    rule = ir.Function(module, seen, f"{fndesc.modname}.{fndesc.qualname}")
    builder = ir.IRBuilder(rule.append_basic_block())
    status, answer = convention.call_function(builder, inner, gives, takes, rule.args)
    raised = ir.Function(module, ir.FunctionType(ir.VoidType(), []), _RAISED)
    with builder.if_then(status.is_error):
        builder.call(raised, [])
    builder.ret(answer)
    library.add_ir_module(module)


def _code_of(rule: FunctionType) -> llvm.ModuleRef:
    """A rule in LLVM's language."""
    flags = compiler.Flags()
    flags.no_cpython_wrapper = True  # type: ignore[misc, assignment]
    flags.error_model = "numpy"  # type: ignore[misc, assignment]
    typing, target, signature = (
        cpu_target.typing_context,
        cpu_target.target_context,
        _signature(rule),
    )
    made = compiler.compile_extra(
        typing, target, rule, signature.args, signature.return_type, flags, {}
    )
    return llvm.parse_assembly(made.library.get_llvm_str())


def compile_rules(*, any_processor: bool = False) -> bytes:
    """The machine code of all rules as an object file of this machine, or of any of its kind."""
    # LLVM optimises all rules together, once; what numba would do before that is lost time.
    os.environ["NUMBA_OPT"] = "0"
    config.reload_config()
    rules = all_rules()
    for symbol in (*map(symbol_of, rules), _RAISED):
        # numba turns each rule into machine code at once; what it calls is not there yet, and
        # that code is never run.
        llvm.add_symbol(symbol, 16)
    whole = llvm.parse_assembly("")
    target = cpu_target.target_context
    target.create_cfunc_wrapper = partial(_callable_by_all, target)
    try:
        for rule in rules:
            whole.link_in(_code_of(rule))
    finally:
        del target.create_cfunc_wrapper
    entries = {symbol_of(entry) for entry in ENTRIES}
    for function in whole.functions:
        if not function.is_declaration and function.name not in entries:
            function.linkage = "internal"
    machine = target_machine(any_processor=any_processor)
    options = llvm.create_pipeline_tuning_options(speed_level=3)
    builder = llvm.create_pass_builder(machine, options)
    builder.getModulePassManager().run(whole, builder)
    _must_be_whole(whole)
    return bytes(machine.emit_object(whole))


def _must_be_whole(code: llvm.ModuleRef) -> None:
    """Nothing is called that is not there where numba is not: what can raise, for example."""
    wanted = {each.name for each in code.functions if each.is_declaration}
    unknown = {name for name in wanted if not name.startswith("llvm.")} - _FROM_LIBM
    if unknown:
        raise LookupError(f"compiled rules would call {', '.join(sorted(unknown))}")
