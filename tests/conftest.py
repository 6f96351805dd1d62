"""Settings that every test shares."""

import gc
import multiprocessing
import os
import signal
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from linesim.fast import kept_engine
from tests.caches import own_cache

_as_for_users = multiprocessing.get_context

# No test needs a screen; a developer who wants to watch names another platform.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

# A shell that starts the tests in its background has them, and what they start, ignore Ctrl-C.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)

# A failure must come back on the next run, and a busy machine must not make one.
settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))


def pytest_sessionstart(session: pytest.Session) -> None:
    """Runs go by the compiled engine once it is there, as for every user; nobody waits for it."""
    if not hasattr(session.config, "workerinput"):
        kept_engine.make_in_background()


def pytest_collection_finish() -> None:
    """What was loaded stays to the end: garbage is not looked for in it again and again."""
    gc.collect()
    gc.freeze()


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A cache that nothing was kept in yet."""
    folder = tmp_path / "cache"
    own_cache(monkeypatch, folder)
    return folder


@pytest.fixture(scope="session", autouse=True)
def _copied_processes() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        if sys.platform == "linux":
            from tests.copied_processes import copies

            patch.setattr(multiprocessing, "get_context", copies)
        yield


@pytest.fixture
def fresh_processes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Processes are started as they are for the program's users, not copied."""
    monkeypatch.setattr(multiprocessing, "get_context", _as_for_users)
