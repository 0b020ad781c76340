"""results.jsonl: one line a finished drawing, appended and synced after its files are in place.

A torn last line (power cut, full disk) is dropped when the file is opened again.
"""

from __future__ import annotations

import contextlib
import json
import os
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType
from typing import Any

from dxf2turn.errors import BadOptions

NAME = "results.jsonl"


class Results:
    """The results file, open for appending by this run only."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / NAME

    def __enter__(self) -> Results:
        try:
            self._file = open(self.path, "a+b")  # noqa: SIM115  (closed in __exit__)
        except OSError as problem:
            raise BadOptions(f"can't write {self.path}: {problem.strerror}.") from None
        self._lock()
        self._drop_torn_end()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._file.close()

    def append(self, line: dict[str, Any]) -> None:
        """Write one line; it is on the disk when this returns."""
        self._file.write(as_text(line).encode("utf-8") + b"\n")
        self._file.flush()
        os.fsync(self._file.fileno())

    def lines(self) -> Iterator[dict[str, Any]]:
        """All lines so far; of two lines for the same drawing the later one holds."""
        self._file.seek(0)
        for text in self._file:
            with contextlib.suppress(ValueError):
                line = json.loads(text)
                if isinstance(line, dict):
                    yield line

    def _lock(self) -> None:
        """Keep a second run out of the same folder, where the system can."""
        try:
            import fcntl  # noqa: PLC0415  (not on every system)
        except ImportError:
            return
        try:
            fcntl.flock(self._file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            self._file.close()
            raise BadOptions(f"{self.path.parent}: another bulk run is writing there.") from None

    def _drop_torn_end(self) -> None:
        """Cut the file after its last line break."""
        self._file.seek(0)
        data = self._file.read()
        whole = data.rfind(b"\n") + 1
        if whole != len(data):
            self._file.truncate(whole)


def as_text(line: dict[str, Any]) -> str:
    """A line as JSON. A path that is no UTF-8 has lone surrogates: they become escapes that JSON knows."""
    text = json.dumps(line, ensure_ascii=False, allow_nan=False)
    return text.encode("utf-8", "backslashreplace").decode("utf-8")
