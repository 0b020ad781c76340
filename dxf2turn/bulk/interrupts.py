"""Ctrl-C at a place of our own choosing."""

from __future__ import annotations

import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager


@contextmanager
def held_interrupts() -> Iterator[Callable[[], None]]:
    """Inside, an interrupt by keyboard waits until the function that is given here is called; a second one
    comes at once.

    An exception that falls into the locks of a pool of processes can leave it waiting for ever. Only the main
    thread gets interrupts; in others nothing is changed.
    """
    if threading.current_thread() is not threading.main_thread():
        yield lambda: None
        return
    pressed: list[int] = []

    def hold(number: int, _frame: object) -> None:
        if pressed:
            raise KeyboardInterrupt
        pressed.append(number)

    def raise_pending() -> None:
        if pressed:
            raise KeyboardInterrupt

    before = signal.signal(signal.SIGINT, hold)
    try:
        yield raise_pending
    finally:
        signal.signal(signal.SIGINT, before if before is not None else signal.default_int_handler)
