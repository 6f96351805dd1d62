"""What results offer to whoever works with them in Python: frames, tables, drawings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from importlib import import_module
from typing import Any

from markupsafe import escape

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


def html_table(title: str, heads: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    """A table for a notebook, every text escaped."""

    def line(kind: str, cells: Iterable[str]) -> str:
        return "<tr>" + "".join(f"<{kind}>{escape(text)}</{kind}>" for text in cells) + "</tr>"

    body = line("th", heads) + "".join(line("td", row) for row in rows)
    return f"<table><caption>{escape(title)}</caption>{body}</table>"


def axes_or_new(axes: Any) -> Any:
    """The axes given, or those of a new figure."""
    if axes is not None:
        return axes
    from matplotlib import pyplot

    return pyplot.subplots(layout="constrained")[1]
