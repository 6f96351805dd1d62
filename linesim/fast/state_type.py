"""The state of a run as compiled functions see it: a bare address with named fields.

numba's own records would do the same, but every function's name would carry the whole layout and
every array field would become an array object: more than 100 s of compiling. Here ``s.b_level``
is one load at a fixed distance from the address, and nothing else.
"""

# ruff: noqa: E501
# mypy: disable-error-code="no-untyped-def,no-untyped-call,untyped-decorator,misc,import-untyped,attr-defined,override"
from __future__ import annotations

import operator
from typing import Any

import numpy as np
from llvmlite import ir
from numba import types
from numba.core import cgutils
from numba.core.datamodel import models
from numba.core.typing import signature
from numba.core.typing.templates import AbstractTemplate, AttributeTemplate, infer_global
from numba.extending import (
    infer,
    infer_getattr,
    lower_builtin,
    lower_getattr_generic,
    lower_setattr_generic,
    register_model,
)

from linesim.fast.layout import STATE

_I64 = ir.IntType(64)


class StateType(types.Type):
    """The whole state."""

    def __init__(self) -> None:
        super().__init__(name="State")


class ColumnType(types.Type):
    """A field of several numbers: ``s.k_busy[w]``, or with rows ``s.m_stops[machine, i]``."""

    def __init__(self, number: types.Type, columns: int) -> None:
        self.number, self.columns = number, columns
        super().__init__(name=f"Column{columns}{'r' if number == types.float64 else ''}")

    @property
    def key(self) -> Any:
        return self.number, self.columns


STATE_TYPE = StateType()


@register_model(StateType)
@register_model(ColumnType)
class _Address(models.PrimitiveModel):
    def __init__(self, manager: Any, kind: Any) -> None:
        super().__init__(manager, kind, ir.IntType(8).as_pointer())


def _field(name: str) -> tuple[Any, int]:
    """The type of a field as compiled code sees it, and its distance from the address, bytes."""
    assert STATE.fields is not None
    kind, offset = STATE.fields[name][:2]
    number = types.float64 if kind.base == np.float64 else types.int64
    if kind.shape:
        return ColumnType(number, kind.shape[1] if len(kind.shape) == 2 else 0), offset
    return number, offset


@infer_getattr
class _StateFields(AttributeTemplate):
    key = StateType

    def generic_resolve(self, kind: Any, name: str) -> Any:
        assert STATE.fields is not None
        return _field(name)[0] if name in STATE.fields else None


def _number_at(builder: Any, address: Any, offset: Any, kind: Any) -> Any:
    llvm = ir.DoubleType() if kind == types.float64 else _I64
    return builder.bitcast(builder.gep(address, [offset]), llvm.as_pointer())


@lower_getattr_generic(StateType)
def _load_field(context, builder, kind, address, name):
    field, offset = _field(name)
    if isinstance(field, ColumnType):
        return builder.gep(address, [_I64(offset)])
    return builder.load(_number_at(builder, address, _I64(offset), field))


@lower_setattr_generic(StateType)
def _store_field(context, builder, sig, args, name):
    field, offset = _field(name)
    address, value = args
    value = context.cast(builder, value, sig.args[1], field)
    builder.store(value, _number_at(builder, address, _I64(offset), field))


def _fits(column: Any, place: Any) -> bool:
    if not isinstance(column, ColumnType):
        return False
    if column.columns:
        return isinstance(place, types.BaseTuple) and len(place) == 2
    return isinstance(place, types.Integer)


def _place_type(column: Any) -> Any:
    return types.UniTuple(types.int64, 2) if column.columns else types.int64


@infer
class _ReadColumn(AbstractTemplate):
    key = "static_getitem"

    def generic(self, args, kws):
        column, place = args
        if isinstance(column, ColumnType) and not column.columns and isinstance(place, int):
            return signature(column.number, column, types.literal(place))
        return None


@infer_global(operator.getitem)
class _GetItem(AbstractTemplate):
    key = operator.getitem

    def generic(self, args, kws):
        column, place = args
        return (
            signature(column.number, column, _place_type(column)) if _fits(column, place) else None
        )


@infer_global(operator.setitem)
class _SetItem(AbstractTemplate):
    key = operator.setitem

    def generic(self, args, kws):
        column, place, _ = args
        if not _fits(column, place):
            return None
        return signature(types.void, column, _place_type(column), column.number)


def _item(builder, column, address, place):
    if column.columns:
        row, i = cgutils.unpack_tuple(builder, place, 2)
        place = builder.add(builder.mul(row, _I64(column.columns)), i)
    return _number_at(builder, address, builder.mul(place, _I64(8)), column.number)


@lower_builtin(operator.getitem, ColumnType, types.Any)
def _load_item(context, builder, sig, args):
    return builder.load(_item(builder, sig.args[0], args[0], args[1]))


@lower_builtin("static_getitem", ColumnType, types.Any)
def _load_fixed_item(context, builder, sig, args):
    return builder.load(_item(builder, sig.args[0], args[0], _I64(args[1])))


@lower_builtin(operator.setitem, ColumnType, types.Any, types.Any)
def _store_item(context, builder, sig, args):
    builder.store(args[2], _item(builder, sig.args[0], args[0], args[1]))
