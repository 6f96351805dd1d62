"""The compiled engine, made once for all tests (and kept, like a user's)."""

import pytest

from linesim.fast import kept_engine


@pytest.fixture(scope="session", autouse=True)
def compiled_engine() -> None:
    """Make the engine unless it is there; the first time takes half a minute of processor time."""
    kept_engine.make()
    assert kept_engine.ready() is not None
