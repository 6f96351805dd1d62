"""An interrupt from the keyboard as a wish that is looked at between runs."""

from __future__ import annotations

import signal

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
