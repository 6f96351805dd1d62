"""The records of a line as numba knows them: addresses with named fields.

numba's own records would do the same, but every function's name would carry the whole layout, and
every row would become an array object: minutes of compiling. Here a field is one load at a fixed
distance from the address, and nothing else.
"""

# ruff: noqa: E501
# mypy: disable-error-code="no-untyped-def,no-untyped-call,untyped-decorator,misc,import-untyped,attr-defined,override,name-defined"
from __future__ import annotations

import operator
from collections.abc import Callable
from typing import Any

from llvmlite import ir
from numba import types
from numba.core import cgutils
from numba.core.datamodel import models
from numba.core.imputils import RefType, iternext_impl
from numba.core.typeconv import Conversion
from numba.core.typing import signature
from numba.core.typing.templates import AbstractTemplate, AttributeTemplate, infer_global
from numba.extending import (
    infer_getattr,
    lower_builtin,
    lower_cast,
    lower_getattr_generic,
    lower_setattr_generic,
    register_model,
)

from linesim.fast.layout import (
    FRACTION,
    REFERENCED,
    ROW,
    ROW_CODE,
    ROW_COUNT,
    ROW_MOST,
    WITHIN,
    WORD,
    Kind,
    layout_of,
)
from linesim.line import history, typed
from linesim.line.line import Line

_I64 = ir.IntType(64)


class RecordType(types.Type):
    """An address at which a record lies."""

    def __init__(self, record: type) -> None:
        self.record = record
        super().__init__(name=record.__name__)

    def can_convert_to(self, typingctx: Any, other: Any) -> Any:
        """A record can stand for the one it extends: their first fields are the same."""
        if isinstance(other, RecordType) and issubclass(self.record, other.record):
            return Conversion.safe
        return None


class RowType(types.IterableType):
    """An address at which the four words of a row lie."""

    def __init__(self, value: Kind) -> None:
        self.value = value
        of = value.of.__name__ if value.of is not None else ""
        super().__init__(name=f"Row.{value.form}{of}")

    @property
    def iterator_type(self) -> Any:
        return RowIteratorType(self)


class RowIteratorType(types.SimpleIteratorType):
    def __init__(self, row: RowType) -> None:
        self.row = row
        super().__init__(name=f"{row.name}.each", yield_type=type_of(row.value))


def type_of(kind: Kind) -> Any:
    """What compiled code takes a field or value for."""
    match kind.form:
        case "whole":
            return types.int64
        case "fraction":
            return types.float64
        case "row":
            return RowType(kind.of)
        case _:
            return RecordType(kind.of)


@register_model(RecordType)
@register_model(RowType)
class _Address(models.PrimitiveModel):
    def __init__(self, manager: Any, kind: Any) -> None:
        super().__init__(manager, kind, ir.IntType(8).as_pointer())


@register_model(RowIteratorType)
class _Each(models.StructModel):
    def __init__(self, manager: Any, kind: Any) -> None:
        members = [("row", kind.row), ("next", types.EphemeralPointer(types.int64))]
        super().__init__(manager, kind, members)


# -- memory ------------------------------------------------------------------------------------


def _word(builder: Any, address: Any, offset: Any, llvm: Any = _I64) -> Any:
    return builder.bitcast(builder.gep(address, [offset]), llvm.as_pointer())


def _llvm(kind: Kind) -> Any:
    if kind.form == FRACTION:
        return ir.DoubleType()
    return ir.IntType(8).as_pointer() if kind.form == REFERENCED else _I64


def _load(builder: Any, kind: Kind, address: Any, offset: Any) -> Any:
    if kind.form in (WITHIN, ROW):
        return builder.gep(address, [offset])
    return builder.load(_word(builder, address, offset, _llvm(kind)))


def _row_word(builder: Any, row: Any, which: int) -> Any:
    return _word(builder, row, _I64(which * WORD))


def _values_of(builder: Any, row: Any) -> Any:
    return builder.load(_word(builder, row, _I64(0), ir.IntType(8).as_pointer()))


def _gives(*functions: Any) -> Callable[[Callable[..., Any]], None]:
    """Tell numba what functions give for the types of what they take; None: not for these."""

    def tell(gives: Callable[..., Any]) -> None:
        class Template(AbstractTemplate):
            def generic(self, args, kws):
                return gives(*args)

        for function in functions:
            infer_global(function)(type("Template", (Template,), {}))

    return tell


# -- fields ------------------------------------------------------------------------------------


@infer_getattr
class _Fields(AttributeTemplate):
    key = RecordType

    def generic_resolve(self, kind: Any, name: str) -> Any:
        field = layout_of(kind.record).by_name.get(name)
        return None if field is None else type_of(field.kind)


@lower_getattr_generic(RecordType)
def _get_field(context, builder, kind, address, name):
    field = layout_of(kind.record).by_name[name]
    return _load(builder, field.kind, address, _I64(field.offset))


@lower_setattr_generic(RecordType)
def _set_field(context, builder, sig, args, name):
    field = layout_of(sig.args[0].record).by_name[name]
    if field.kind.form in (WITHIN, ROW):
        raise TypeError(f"{name} is a record or a row of its own, and cannot be another one")
    value = context.cast(builder, args[1], sig.args[1], type_of(field.kind))
    builder.store(value, _word(builder, args[0], _I64(field.offset), _llvm(field.kind)))


@lower_cast(RecordType, RecordType)
def _as_what_it_extends(context, builder, fromty, toty, value):
    return value


@_gives(operator.is_, operator.is_not)
def _whether_same(a: Any, b: Any) -> Any:
    records = isinstance(a, RecordType) and isinstance(b, RecordType)
    return signature(types.boolean, a, b) if records else None


@lower_builtin(operator.is_, RecordType, RecordType)
def _is_same(context, builder, sig, args):
    return builder.icmp_unsigned("==", *args)


@lower_builtin(operator.is_not, RecordType, RecordType)
def _is_other(context, builder, sig, args):
    return builder.icmp_unsigned("!=", *args)


# -- rows --------------------------------------------------------------------------------------


@infer_getattr
class _RowFields(AttributeTemplate):
    key = RowType

    def resolve_most(self, row: Any) -> Any:
        return types.int64

    def resolve_code(self, row: Any) -> Any:
        return types.int64


@lower_getattr_generic(RowType)
def _get_row_field(context, builder, kind, row, name):
    return builder.load(_row_word(builder, row, ROW_MOST if name == "most" else ROW_CODE))


@_gives(len)
def _count_of(row: Any) -> Any:
    return signature(types.int64, row) if isinstance(row, RowType) else None


@lower_builtin(len, RowType)
def _count(context, builder, sig, args):
    return builder.load(_row_word(builder, args[0], ROW_COUNT))


@_gives(operator.getitem)
def _item_of(row: Any, place: Any) -> Any:
    known = isinstance(row, RowType) and isinstance(place, types.Integer)
    return signature(type_of(row.value), row, types.int64) if known else None


@lower_builtin(operator.getitem, RowType, types.Any)
def _get_item(context, builder, sig, args):
    kind = sig.args[0].value
    return _load(builder, kind, _values_of(builder, args[0]), _place(builder, kind, args[1]))


@_gives(operator.setitem)
def _item_set(row: Any, place: Any, value: Any) -> Any:
    known = isinstance(row, RowType) and isinstance(place, types.Integer)
    return signature(types.void, row, types.int64, type_of(row.value)) if known else None


@lower_builtin(operator.setitem, RowType, types.Any, types.Any)
def _set_item(context, builder, sig, args):
    _store(builder, sig.args[0].value, *args)


@_gives(operator.delitem)
def _item_gone(row: Any, place: Any) -> Any:
    known = isinstance(row, RowType) and row.value.size == WORD
    return signature(types.void, row, types.int64) if known else None


@lower_builtin(operator.delitem, RowType, types.Any)
def _del_item(context, builder, sig, args):
    kind, (row, place) = sig.args[0].value, args
    count = _row_word(builder, row, ROW_COUNT)
    left = builder.sub(builder.load(count), _I64(1))
    here = builder.gep(_values_of(builder, row), [_place(builder, kind, place)])
    behind = builder.gep(here, [_I64(kind.size)])
    cgutils.raw_memmove(builder, here, behind, builder.sub(left, place), kind.size)
    builder.store(left, count)


def _place(builder: Any, kind: Kind, place: Any) -> Any:
    return builder.mul(place, _I64(kind.size))


def _store(builder: Any, kind: Kind, row: Any, place: Any, value: Any) -> None:
    values = _values_of(builder, row)
    builder.store(value, _word(builder, values, _place(builder, kind, place), _llvm(kind)))


@lower_builtin("getiter", RowType)
def _each(context, builder, sig, args):
    return cgutils.pack_struct(builder, [args[0], cgutils.alloca_once_value(builder, _I64(0))])


@lower_builtin("iternext", RowIteratorType)
@iternext_impl(RefType.BORROWED)
def _next(context, builder, sig, args, result):
    kind = sig.args[0].row.value
    each = context.make_helper(builder, sig.args[0], value=args[0])
    at = builder.load(each.next)
    there = builder.icmp_signed("<", at, builder.load(_row_word(builder, each.row, ROW_COUNT)))
    result.set_valid(there)
    with builder.if_then(there):
        values = _values_of(builder, each.row)
        result.yield_(_load(builder, kind, values, _place(builder, kind, at)))
        builder.store(builder.add(at, _I64(1)), each.next)


# -- what only differs between the two ways to run ---------------------------------------------


@infer_global(typed.add)
class _Add(AbstractTemplate):
    def generic(self, args, kws):
        line, row, *values = args
        return signature(types.void, line, row, *[type_of(row.value)] * len(values))


@lower_builtin(typed.add, RecordType, RowType, types.VarArg(types.Any))
def _add(context, builder, sig, args):
    line, row, *values = args
    _append(builder, line, sig.args[1].value, row, values)
    return context.get_dummy_value()


def _append(builder: Any, line: Any, kind: Kind, row: Any, values: list[Any]) -> None:
    count = _row_word(builder, row, ROW_COUNT)
    at = builder.load(count)
    more = builder.add(at, _I64(len(values)))
    room = builder.icmp_signed("<=", more, builder.load(_row_word(builder, row, ROW_MOST)))
    with builder.if_else(room) as (fits, too_many):
        with fits:
            for i, value in enumerate(values):
                _store(builder, kind, row, builder.add(at, _I64(i)), value)
            builder.store(more, count)
        with too_many:
            what = builder.load(_row_word(builder, row, ROW_CODE))
            flag = layout_of(Line).by_name["given_up"]
            builder.store(what, _word(builder, line, _I64(flag.offset)))


@infer_global(history.note)
class _Note(AbstractTemplate):
    def generic(self, args, kws):
        line, log, *values = args
        return signature(types.void, line, log, *[types.int64] * len(values))


@lower_builtin(history.note, RecordType, RecordType, types.VarArg(types.Any))
def _note(context, builder, sig, args):
    line, log, *values = args
    fields = layout_of(history.Log).by_name
    rows, number = (
        _load(builder, fields[name].kind, log, _I64(fields[name].offset))
        for name in ("rows", "number")
    )
    _append(builder, line, fields["rows"].kind.of, rows, values)
    count, most = (builder.load(_row_word(builder, rows, word)) for word in (ROW_COUNT, ROW_MOST))
    with builder.if_then(builder.icmp_signed("==", count, most)):
        _call_helper(builder, line, _I64(history.LOG_IS_FULL), number)
    return context.get_dummy_value()


@_gives(typed.shorten)
def _shortened(row: Any, count: Any) -> Any:
    return signature(types.void, row, types.int64)


@lower_builtin(typed.shorten, RowType, types.Any)
def _shorten(context, builder, sig, args):
    builder.store(args[1], _row_word(builder, args[0], ROW_COUNT))
    return context.get_dummy_value()


@_gives(typed.outside)
def _asked_outside(line: Any, what: Any, number: Any) -> Any:
    return signature(types.void, line, types.int64, types.int64)


@lower_builtin(typed.outside, RecordType, types.Any, types.Any)
def _outside(context, builder, sig, args):
    _call_helper(builder, *args)
    return context.get_dummy_value()


def _call_helper(builder: Any, line: Any, what: Any, number: Any) -> None:
    field = layout_of(Line).by_name["helper_at"]
    kind = ir.FunctionType(ir.VoidType(), [_I64, _I64])
    at = builder.load(_word(builder, line, _I64(field.offset)))
    builder.call(builder.inttoptr(at, kind.as_pointer()), [what, number])
