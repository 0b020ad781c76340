"""How far a run has got: one plain line every few seconds, and one for each drawing that failed."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Callable

from dxf2turn.bulk.model import PLANNED, Record
from dxf2turn.output.wording import duration

EVERY_S = 5.0


class Progress:
    """Counts and words; `say` gets the lines. Only texts for people depend on the clock."""

    def __init__(self, total: int, say: Callable[[str], None]) -> None:
        self.total = total
        self.skips = 0
        self._say = say
        self._counts: Counter[str] = Counter()
        self._done = self._said = 0
        self._begin = self._last = time.monotonic()

    def skipped(self) -> None:
        """A drawing that an earlier run has done."""
        self.skips += 1

    def finished(self, record: Record) -> None:
        """A drawing came back."""
        self._done += 1
        for outcome in record.outcomes:
            self._counts[outcome.status] += 1
            if outcome.status != PLANNED:
                self._say(f"{outcome.status}: {record.source.path}: {outcome.text}")
        now = time.monotonic()
        if now - self._last >= EVERY_S:
            self._last, self._said = now, self._done
            self._say(self._line(now))

    def end(self) -> None:
        """The last line, unless it was said just now."""
        if not self._done or self._said != self._done:
            self._say(self._line(time.monotonic()))

    def _line(self, now: float) -> str:
        spent = max(now - self._begin, 1e-9)
        left = self.total - self.skips - self._done
        counts = ", ".join(f"{number} {status}" for status, number in sorted(self._counts.items()))
        words = [f"{self.skips + self._done} of {self.total}", counts or "nothing new"]
        if self.skips:
            words.append(f"{self.skips} done before")
        if self._done:
            words.append(f"{self._done / spent:.1f} a second")
            if left > 0:
                words.append(f"{duration(left * spent / self._done)} to go")
        return ", ".join(words)
