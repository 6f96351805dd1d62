"""Columns for people who write Python: as frames of whichever library they have."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from typing import Any

_MAKERS = {"pandas": "DataFrame", "polars": "DataFrame", "pyarrow": "table"}


class NoFrameLibraryError(RuntimeError):
    """No library that makes frames is installed, or not the one asked for."""


def frame(columns: Mapping[str, Any], library: str | None = None) -> Any:
    """Columns of equal length as a frame of pandas or else polars, or of the library named.

    ``pyarrow`` gives an Arrow table, which ``pyarrow.parquet`` writes. Raises
    :class:`NoFrameLibraryError` where the library is not installed, and ``ValueError`` for a name
    that is none of the three.
    """
    if library is not None and library not in _MAKERS:
        raise ValueError(f"library is {library!r}; right would be one of {', '.join(_MAKERS)}")
    wanted = [library] if library else ["pandas", "polars"]
    for name in wanted:
        try:
            module = import_module(name)
        except ImportError:
            continue
        return getattr(module, _MAKERS[name])(dict(columns))
    raise NoFrameLibraryError(
        f"this needs {' or '.join(wanted)}, which is not installed: pip install {wanted[0]}"
    )
