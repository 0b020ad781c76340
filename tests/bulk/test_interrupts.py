"""Ctrl-C during a bulk run waits for a place where it can do no harm."""

from __future__ import annotations

import os
import signal

import pytest

from dxf2turn.bulk.interrupts import held_interrupts


def test_an_interrupt_waits_until_it_is_asked_for() -> None:
    """Nothing is raised where the signal falls; asked for, it is."""
    with held_interrupts() as raise_pending:
        raise_pending()
        os.kill(os.getpid(), signal.SIGINT)
        with pytest.raises(KeyboardInterrupt):
            raise_pending()


def test_a_second_interrupt_comes_at_once() -> None:
    """Who presses twice does not want to wait; afterwards the keyboard works as before."""
    before = signal.getsignal(signal.SIGINT)
    with held_interrupts():
        os.kill(os.getpid(), signal.SIGINT)
        with pytest.raises(KeyboardInterrupt):
            os.kill(os.getpid(), signal.SIGINT)
    assert signal.getsignal(signal.SIGINT) is before
