"""Processes for the tests that are copies of one that has everything loaded.

A fresh interpreter takes a second of processor time to load the program and the compiled engine,
and the tests start some hundred processes. The one that is copied has neither Qt nor threads of
ours, for the sake of which the program itself starts fresh ones.
"""

from __future__ import annotations

import multiprocessing
import os
from functools import cache
from multiprocessing import context, forkserver
from pathlib import Path
from typing import Any

_TESTS = Path(__file__).parent
_LOADED = ["tests_of_this_clone", "tests.loaded_process"]

_get_context = multiprocessing.get_context


class _Copy(context.ForkServerProcess):
    """It has the environment of whoever starts it; the one it is a copy of was started earlier."""

    _environment: dict[str, str]

    def start(self) -> None:
        _have_it_loaded()
        self._environment = dict(os.environ)
        super().start()

    def run(self) -> None:
        os.environ.clear()
        os.environ.update(self._environment)
        super().run()


class _Copies(context.ForkServerContext):
    Process = _Copy


_COPIES = _Copies()


@cache
def _have_it_loaded() -> None:
    """Start the one that is copied, on the sources of this clone."""
    multiprocessing.set_forkserver_preload(_LOADED)
    before = os.environ.get("PYTHONPATH")
    os.environ["PYTHONPATH"] = str(_TESTS / "trust")
    try:
        forkserver.ensure_running()
    finally:
        if before is None:
            del os.environ["PYTHONPATH"]
        else:
            os.environ["PYTHONPATH"] = before


def copies(method: str | None = None) -> Any:
    """Takes the place of ``multiprocessing.get_context``: copies instead of fresh processes."""
    return _COPIES if method == "spawn" else _get_context(method)
