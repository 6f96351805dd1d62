"""Settings that every test shares."""

import os
import signal
from pathlib import Path

import pytest
from hypothesis import settings

from linesim.fast import kept_engine
from tests.caches import own_cache

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


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A cache that nothing was kept in yet."""
    folder = tmp_path / "cache"
    own_cache(monkeypatch, folder)
    return folder
