"""An interrupt from the keyboard as a wish that is looked at between runs."""

from __future__ import annotations

import signal
import subprocess
import sys

import pytest

from linesim.interrupts import interrupt_asked_for


def test_the_first_is_a_wish_and_the_second_is_raised() -> None:
    before = signal.getsignal(signal.SIGINT)
    with interrupt_asked_for() as asked:
        assert not asked()
        signal.raise_signal(signal.SIGINT)
        assert asked()
        with pytest.raises(KeyboardInterrupt):
            signal.raise_signal(signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) is before


_ONE_WHILE_IT_ENDS = """
import atexit, signal
import linesim.__main__
atexit.register(signal.raise_signal, signal.SIGINT)
linesim.__main__.main()
"""


@pytest.mark.skipif(sys.platform == "win32", reason="raises a signal")
def test_one_that_comes_while_the_program_ends_is_not_told_as_a_fault() -> None:
    ended = subprocess.run(
        [sys.executable, "-c", _ONE_WHILE_IT_ENDS, "--version"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert (ended.returncode, ended.stderr) == (0, "")
