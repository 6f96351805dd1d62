"""Interrupts from the keyboard: while processes are started, and whether there was one."""

from __future__ import annotations

import contextlib
import signal
import threading
from collections.abc import Callable, Iterator
from types import FrameType

_noted = False


def note_interrupts() -> None:
    """From here on :func:`interrupted` knows of an interrupt that somebody else swallowed."""

    def note(number: int, frame: FrameType | None) -> None:
        global _noted
        _noted = True
        signal.default_int_handler(number, frame)

    # Whoever started the program may have told it not to listen.
    if signal.getsignal(signal.SIGINT) is signal.default_int_handler:
        signal.signal(signal.SIGINT, note)


def note_no_more_interrupts() -> None:
    """All has been said: a second one, while the interpreter ends, would be told as a fault."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def interrupted() -> bool:
    """Whether there was an interrupt: a module cut off while loading may fail in another way."""
    return _noted


@contextlib.contextmanager
def interrupt_asked_for() -> Iterator[Callable[[], bool]]:
    """An interrupt from the keyboard that comes meanwhile is a wish: the function says whether
    there is one. A second one is raised.

    Raised at once it could come between two runs, and what is known of them would be lost.
    """
    handler = signal.getsignal(signal.SIGINT)
    if threading.current_thread() is not threading.main_thread() or not callable(handler):
        yield lambda: False
        return
    came = False

    def note(number: int, frame: FrameType | None) -> None:
        nonlocal came
        if came:
            handler(number, frame)
        came = True

    signal.signal(signal.SIGINT, note)
    try:
        yield lambda: came
    finally:
        signal.signal(signal.SIGINT, handler)


@contextlib.contextmanager
def interrupt_put_off() -> Iterator[None]:
    """An interrupt from the keyboard that comes meanwhile is raised at the end.

    Compiled code that calls Python back would lose it: what is raised as a callback begins,
    ``ctypes`` prints, and goes on.
    """
    handler = signal.getsignal(signal.SIGINT)
    if threading.current_thread() is not threading.main_thread() or not callable(handler):
        yield
        return
    came: list[tuple[int, FrameType | None]] = []
    signal.signal(signal.SIGINT, lambda number, frame: came.append((number, frame)))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, handler)
    if came:
        handler(*came[0])


@contextlib.contextmanager
def interrupt_held() -> Iterator[None]:
    """Hold an interrupt from the keyboard back; processes started meanwhile never get one.

    The terminal sends it to all of them, and one that is still loading would answer it with a
    traceback. Who starts them decides what it means.
    """
    if not hasattr(signal, "pthread_sigmask"):
        yield
        return
    from multiprocessing import resource_tracker

    # Who is started first of all lets interrupts through again, so it is started before.
    resource_tracker.ensure_running()
    before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT})
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)
